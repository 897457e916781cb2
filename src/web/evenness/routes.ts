// The evenness of a bed: the form for an even sheet or several tablets; and of an even sheet its corners and the map of the light.
import express, { Router, type Response } from "express";
import { ZodError } from "zod";
import { InputError } from "#shared/errors.ts";
import { evennessRequestSchema, tabletCounts } from "#shared/schema/evenness.ts";
import { lampInputSchema } from "#shared/schema/materials.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { mapEvenness } from "#src/studio/map-evenness.ts";
import { keepPicture, pictureSize } from "#src/studio/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { problemFrom } from "#src/web/problem.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { cornerWords } from "#src/web/tests/corners-view.ts";
import { evennessMapView } from "./map-view.ts";
import { evennessTabletRoutes, showTablets, tabletFormErrors } from "./tablets.ts";
import { formValuesFrom, numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { stripSeries } from "#src/web/tests/strip-series.ts";
import { tabletCount } from "./tablet-places.ts";
import { cornersFrom, freshTestForm } from "#src/web/tests/form.ts";
import { tabletChoices } from "#src/web/tests/form-view.ts";
import { testCard } from "#src/web/tests/card.ts";

const maxFormBytes = 100_000;
/** Tests offered for their curve. */
const offeredTests = 60;
/** First guess of the bed's corners: this share in from each edge of the picture. */
const guessMargin = 0.12;
const carriedNames = ["pictureId", "evenLightId", "testId", "lampId", "bedWidthMm", "bedHeightMm"] as const;

export function evennessPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function showForm(response: Response, values: FormValues, errors: FieldErrors, status: number): void {
    const isTablets = textOf(values, "kind") === "tablets";
    const lamp = store.lamps.find(textOf(values, "lampId"));
    const keptId = (name: string): string =>
      store.pictures.find(textOf(values, name)) === undefined ? "" : textOf(values, name);
    renderPage(
      response,
      isTablets ? "evenness/tablets-form" : "evenness/form",
      { title: "Map the evenness of a box", here: "studio", status },
      {
        ways: [
          { kind: "exposure", words: "One even sheet" },
          { kind: "tablets", words: "Several tablets" },
        ].map((way) => ({
          words: way.words,
          isHere: (way.kind === "tablets") === isTablets,
          href: `/evenness?${new URLSearchParams({ kind: way.kind, ...(lamp === undefined ? {} : { lampId: lamp.id }) }).toString()}`,
        })),
        lamps: store.lamps.list().map(({ id, name }) => ({ id, name, isChosen: id === textOf(values, "lampId") })),
        tests: isTablets
          ? []
          : store.tests
              .list({ limit: offeredTests })
              .tests.filter((test) => test.dMax !== null)
              .map((test) => ({ ...testCard(store, test), isChosen: test.id === textOf(values, "testId") })),
        bedWidthMm: values["bedWidthMm"] ?? String(lamp?.widthMm ?? ""),
        bedHeightMm: values["bedHeightMm"] ?? String(lamp?.heightMm ?? ""),
        sizeFrom:
          lamp !== undefined && values["bedWidthMm"] === undefined && (lamp.widthMm ?? lamp.heightMm ?? null) !== null
            ? lamp.name
            : null,
        placing: textOf(values, "placing"),
        count: tabletCount(values).count,
        counts: tabletCounts,
        values: { ...freshTestForm, ...values },
        tabletChoices: tabletChoices.filter(({ value }) => value !== "levels" && value !== "sheet"),
        stripSeries,
        errors,
        pictureId: keptId("pictureId"),
        evenLightId: keptId("evenLightId"),
        problem: Object.values(errors).join(" "),
      },
    );
  }

  async function showCorners(
    response: Response,
    values: FormValues,
    corners: Corners | undefined,
    problem: string | null,
    status: number,
  ): Promise<void> {
    const pictureId = textOf(values, "pictureId");
    const { width, height } = await pictureSize(tools, pictureId);
    const [left, right, top, bottom] = [
      guessMargin * width,
      (1 - guessMargin) * width,
      guessMargin * height,
      (1 - guessMargin) * height,
    ].map(Math.round) as [number, number, number, number];
    const shown: Corners = corners ?? [
      [left, top],
      [right, top],
      [right, bottom],
      [left, bottom],
    ];
    renderPage(
      response,
      "evenness/corners",
      {
        title: "Where does the exposed area lie?",
        here: "studio",
        scripts: ["evenness-corners"],
        data: { width, height, corners: shown },
        status,
      },
      {
        pictureId,
        width,
        height,
        problem,
        hidden: carriedNames.map((name) => ({ name, value: textOf(values, name) })).filter(({ value }) => value !== ""),
        fields: shown.map(([x, y], index) => ({
          name: `corners.${index}`,
          words: (cornerWords[index] ?? "").replace("tablet", "exposed area"),
          x,
          y,
        })),
        outline: shown.map(([x, y]) => `${x},${y}`).join(" "),
      },
    );
  }

  router.get("/evenness", (request, response) => {
    showForm(response, formValuesFrom(request.query), {}, 200);
  });

  router.post("/evenness", async (request, response) => {
    const { fields, files } = await receiveUpload(request, response);
    const file = (name: string): Uint8Array | undefined =>
      files.find((each) => each.field === name && each.bytes.byteLength > 0)?.bytes;
    let values: FormValues = fields;
    const isTablets = textOf(values, "kind") === "tablets";
    const errors: FieldErrors = isTablets ? tabletFormErrors(values) : {};
    let status = 400;
    /** Keeps a picture before anything else can send the form back; a new one takes the place of one that was kept. */
    const keep = async (name: string, idName: string): Promise<void> => {
      const bytes = file(name);
      if (bytes === undefined) return;
      try {
        values = { ...values, [idName]: (await keepPicture(tools, bytes)).pictureId };
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        values = { ...values, [idName]: "" };
        errors[name] = error.detail;
        ({ status } = problemFrom(error));
      }
    };
    try {
      await keep("photo", "pictureId");
      if (!isTablets) await keep("evenLight", "evenLightId");
      if (!isTablets && textOf(values, "testId") === "")
        errors["testId"] = "Choose the test whose curve turns blue into light: the same coating on the same paper.";
      if (store.pictures.find(textOf(values, "pictureId")) === undefined)
        errors["photo"] ??= isTablets
          ? "Choose the picture of the tablets."
          : "Choose the picture of the exposed sheet.";
      if (Object.keys(errors).length > 0) {
        showForm(response, values, errors, status);
        return;
      }
      if (isTablets) {
        await showTablets(tools, response, { values, problem: null, status: 200 });
        return;
      }
      await showCorners(response, values, undefined, null, 200);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const problem = problemFrom(error);
      showForm(response, { ...values, pictureId: "" }, { [problem.field ?? "photo"]: problem.detail }, problem.status);
    }
  });

  router.post("/evenness/map", form, async (request, response) => {
    const values = formValuesFrom(request.body);
    const errors: Record<string, string> = {};
    const corners = cornersFrom(values, errors) as Corners | undefined;
    try {
      const asked = evennessRequestSchema.parse({
        kind: "exposure",
        testId: textOf(values, "testId"),
        corners,
        bedWidthMm: numberOf(values, "bedWidthMm"),
        bedHeightMm: numberOf(values, "bedHeightMm"),
      });
      const photo = await store.pictures.read(textOf(values, "pictureId"));
      const evenLightId = textOf(values, "evenLightId");
      const pictures = { photo, ...(evenLightId === "" ? {} : { evenLight: await store.pictures.read(evenLightId) }) };
      const map = await mapEvenness(tools, { request: asked, pictures, signal: closingSignal(response) });
      renderPage(
        response,
        "evenness/map",
        { title: "Evenness of the bed", here: "studio" },
        evennessMapView(store, map, textOf(values, "lampId")),
      );
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof ZodError)) throw error;
      const problem = problemFrom(error);
      if (store.pictures.find(textOf(values, "pictureId")) === undefined)
        showForm(response, values, { photo: "The picture is no longer kept: choose it again." }, 400);
      else await showCorners(response, values, corners, errors["corners"] ?? problem.detail, problem.status);
    }
  });

  router.use(evennessTabletRoutes(tools, showForm));

  router.post("/evenness/keep", form, (request, response) => {
    const values = formValuesFrom(request.body);
    const lampId = textOf(values, "lampId");
    const evenness = {
      madeAt: new Date().toISOString(),
      rangeStops: numberOf(values, "rangeStops"),
      evenShare: numberOf(values, "evenShare"),
    };
    store.lamps.replace(lampId, lampInputSchema.parse({ ...store.lamps.get(lampId), evenness }));
    response.redirect(303, `/studio/boxes/${lampId}`);
  });
  return router;
}
