// A photogram from a photo: the picture is sent, places on it are tapped (a picture that is a button works without any
// script), and each tap is answered.
import { Router, type Response } from "express";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDensity, formatFixed } from "#shared/format/number.ts";
import { photogramPhotoSchema, type PhotogramSpot } from "#shared/schema/photogram.ts";
import type { SunConditions } from "#shared/schema/test.ts";
import { readPhotogramPhoto, type PhotogramPhoto } from "#src/studio/negatives/photogram-photo.ts";
import { keepPicture, pictureSize } from "#src/studio/tests/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { testChoices } from "#src/web/parts/field-view.ts";
import { errorSummary, formTrouble, type FieldOrder } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, secondsOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { hasCurve, isForTime, newestCards, offeredTests } from "#src/web/tests/card.ts";
import { printPicturesFrom, receiveUpload } from "#src/web/upload.ts";
import { answerView, startOf } from "./view.ts";

/** Width at which the picture is shown and tapped [px]: a phone's, and a large one. */
const shownWidths = { small: 320, large: 900 } as const;
const mostSpots = 12;
const fieldOrder: FieldOrder = [
  "photo",
  ["testId", "photogram-test"],
  ["exposureSeconds", "photogram-time-minutes"],
  ["startedAt", "photogram-start"],
];
const carried = ["pictureId", "testId", "minutes", "seconds", "startedAt", "shown"] as const;

type Spot = readonly [number, number];

/** Places that the address names, and the one just tapped, in upright pixels. */
function spotsOf(query: Readonly<Record<string, unknown>>, scale: number): Spot[] {
  const named = [query["spot"]].flat().flatMap((each): Spot[] => {
    const [x, y] = String(each ?? "")
      .split(",")
      .map(Number);
    return x !== undefined && y !== undefined && x >= 0 && y >= 0 ? [[x, y]] : [];
  });
  const tapped = [Number(query["at.x"]), Number(query["at.y"])] as const;
  // Pressed by keyboard the picture gives 0, 0.
  const isTapped = tapped[0] > 0 && tapped[1] > 0;
  return [
    ...named,
    ...(isTapped ? [[Math.round(tapped[0] * scale), Math.round(tapped[1] * scale)] as const] : []),
  ].slice(-mostSpots);
}

export function photogramPhotoRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;

  async function show(
    response: Response,
    {
      values,
      errors = {},
      spots = [],
      read = null,
      status = 200,
    }: {
      values: FormValues;
      errors?: FieldErrors;
      spots?: readonly Spot[];
      read?: PhotogramPhoto | null;
      status?: number;
    },
  ): Promise<void> {
    const pictureId = textOf(values, "pictureId");
    const size = pictureId === "" ? null : await pictureSize(tools, pictureId);
    const sun = store.tests.find(textOf(values, "testId"))?.request.sun ?? null;
    const offered = newestCards(store, { limit: offeredTests }, (test) => hasCurve(test) && isForTime(test));
    const shown = textOf(values, "shown") === "large" ? "large" : "small";
    renderPage(
      response,
      "photograms/photo",
      { title: "A photogram from its photo", here: "studio", status },
      {
        values,
        errors,
        summary: errorSummary(errors, fieldOrder),
        tests: testChoices(offered),
        hasTests: offered.length > 0,
        picture: size === null ? null : pictureView(pictureId, size, shown),
        carried: carried
          .filter((name) => name !== "shown" || shown === "large")
          .map((name) => ({ name, value: textOf(values, name) })),
        spots: spots.map(([x, y]) => `${x},${y}`),
        otherSizeHref: otherSize(values, spots, shown),
        ...answersOf(read, sun, size, shown),
      },
    );
  }

  router.get("/objects/photo", async (request, response) => {
    const query: Readonly<Record<string, unknown>> = request.query;
    const values = formValuesFrom(query);
    const pictureId = textOf(values, "pictureId");
    if (pictureId === "" || store.pictures.find(pictureId) === undefined) {
      await show(response, { values: { ...values, pictureId: "" } });
      return;
    }
    const { width } = await pictureSize(tools, pictureId);
    const shown = shownWidths[textOf(values, "shown") === "large" ? "large" : "small"];
    const spots = spotsOf(query, width / shown);
    if (spots.length === 0) {
      await show(response, { values });
      return;
    }
    try {
      const sun = store.tests.find(textOf(values, "testId"))?.request.sun ?? null;
      const asked = photogramPhotoSchema.parse({
        testId: textOf(values, "testId"),
        exposureSeconds: secondsOf(values, "minutes", "seconds"),
        startedAt: startOf(textOf(values, "startedAt"), sun),
        spots,
      });
      const picture = await store.pictures.read(pictureId);
      await show(response, { values, spots, read: await readPhotogramPhoto(tools, { picture, request: asked }) });
    } catch (error) {
      const { errors, status } = formTrouble(error, { field: "photo", labels: { exposureSeconds: "The time" } });
      const { corners, ...others } = errors;
      await show(response, {
        values,
        spots,
        errors: corners === undefined ? others : { ...others, photo: corners },
        status,
      });
    }
  });

  router.post("/objects/photo", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const values = formValuesFrom(upload.fields);
    try {
      const [photo = new Uint8Array()] = printPicturesFrom(upload).photos;
      const kept = await keepPicture(tools, photo);
      const query = new URLSearchParams({ ...values, pictureId: kept.pictureId });
      response.redirect(303, `/objects/photo?${query.toString()}`);
    } catch (error) {
      const { errors, status } = formTrouble(error, { field: "photo" });
      await show(response, { values, errors, status });
    }
  });
  return router;
}

function pictureView(
  id: string,
  { width, height }: { readonly width: number; readonly height: number },
  shown: keyof typeof shownWidths,
) {
  const wide = shownWidths[shown];
  return {
    src: `/pictures/${id}?side=${shown === "large" ? 1600 : 320}`,
    width: wide,
    height: Math.round((wide * height) / width),
  };
}

function otherSize(values: FormValues, spots: readonly Spot[], shown: keyof typeof shownWidths): string {
  const query = new URLSearchParams();
  for (const name of carried) if (name !== "shown") query.append(name, textOf(values, name));
  for (const [x, y] of spots) query.append("spot", `${x},${y}`);
  if (shown === "small") query.append("shown", "large");
  return `/objects/photo?${query.toString()}`;
}

/** The middle place's answer at large, and every place's in a row. */
function answersOf(
  read: PhotogramPhoto | null,
  sun: SunConditions | null,
  size: { readonly width: number } | null,
  shown: keyof typeof shownWidths,
) {
  if (read === null || size === null) return { answer: null, rows: [], marks: [], warnings: [] };
  const told = read.spots.flatMap(({ found }) => (found === null ? [] : [found]));
  const [middle] = [...told].sort((a, b) => a.density - b.density).slice(Math.floor((told.length - 1) / 2));
  const scale = shownWidths[shown] / size.width;
  return {
    answer: middle === undefined ? null : answerView(middle, sun),
    warnings: read.warnings,
    rows: read.spots.map((spot, index) => rowOf(spot, index, sun)),
    marks: read.spots.map(({ at }, index) => ({
      number: index + 1,
      x: Math.round(at[0] * scale),
      y: Math.round(at[1] * scale),
    })),
  };
}

function rowOf({ printDensity, found, trouble }: PhotogramSpot, index: number, sun: SunConditions | null) {
  const isTimed = found !== null && found.mid !== null && sun === null;
  return {
    number: index + 1,
    print: formatDensity(printDensity),
    stops: found === null ? "" : formatFixed(found.stops, 1),
    time: isTimed && found.mid ? formatDuration(found.mid.seconds) : "",
    range:
      isTimed && found.mid
        ? `${formatDuration(found.mid.lowerSeconds)} to ${formatDuration(found.mid.upperSeconds)}`
        : "",
    trouble: trouble ?? "",
  };
}
