// The evenness of a bed: a picture of one even exposure, its corners, and the map of the light.
import express, { Router, type Response } from "express";
import { ZodError } from "zod";
import { InputError } from "#shared/errors.ts";
import { formatFixed, formatShare, formatStops } from "#shared/format/number.ts";
import { evennessRequestSchema, type Evenness } from "#shared/schema/evenness.ts";
import { lampInputSchema } from "#shared/schema/materials.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { mapEvenness } from "#src/studio/map-evenness.ts";
import { keepPicture, pictureSize } from "#src/studio/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/api/readings.ts";
import { problemFrom } from "#src/web/problem.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { cornerWords } from "./corners-view.ts";
import { formValuesFrom, numberOf, textOf, type FormValues } from "./form-values.ts";
import { renderPage } from "./render.ts";
import { cornersFrom } from "./test-form.ts";
import { testCard } from "./tests.ts";

const maxFormBytes = 100_000;
/** Tests offered for their curve. */
const offeredTests = 60;
/** First guess of the bed's corners: this share in from each edge of the picture. */
const guessMargin = 0.12;
/** Width of the drawn map in its own units; its height follows the bed. */
const drawnWidth = 720;
const carriedNames = ["pictureId", "evenLightId", "testId", "lampId", "bedWidthMm", "bedHeightMm"] as const;

export function evennessPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function showForm(response: Response, values: FormValues, problem: string | null, status: number): void {
    renderPage(response, "evenness/form", { title: "Map the evenness of a box", here: "studio", status }, {
      lamps: store.lamps.list().map(({ id, name }) => ({ id, name, isChosen: id === textOf(values, "lampId") })),
      tests: store.tests.list({ limit: offeredTests }).tests.filter((test) => test.dMax !== null).map((test) => ({ ...testCard(store, test), isChosen: test.id === textOf(values, "testId") })),
      bedWidthMm: textOf(values, "bedWidthMm"),
      bedHeightMm: textOf(values, "bedHeightMm"),
      problem,
    });
  }

  async function showCorners(response: Response, values: FormValues, corners: Corners | undefined, problem: string | null, status: number): Promise<void> {
    const pictureId = textOf(values, "pictureId");
    const { width, height } = await pictureSize(tools, pictureId);
    const [left, right, top, bottom] = [guessMargin * width, (1 - guessMargin) * width, guessMargin * height, (1 - guessMargin) * height].map(Math.round) as [number, number, number, number];
    const shown: Corners = corners ?? [[left, top], [right, top], [right, bottom], [left, bottom]];
    renderPage(response, "evenness/corners", { title: "Where does the exposed area lie?", here: "studio", scripts: ["evenness-corners"], data: { width, height, corners: shown }, status }, {
      pictureId, width, height, problem,
      hidden: carriedNames.map((name) => ({ name, value: textOf(values, name) })).filter(({ value }) => value !== ""),
      fields: shown.map(([x, y], index) => ({ name: `corners.${index}`, words: (cornerWords[index] ?? "").replace("tablet", "exposed area"), x, y })),
      outline: shown.map(([x, y]) => `${x},${y}`).join(" "),
    });
  }

  router.get("/evenness", (request, response) => {
    showForm(response, formValuesFrom(request.query), null, 200);
  });

  router.post("/evenness", async (request, response) => {
    const { fields, files } = await receiveUpload(request, response);
    const file = (name: string): Uint8Array | undefined => files.find((each) => each.field === name && each.bytes.byteLength > 0)?.bytes;
    try {
      if (textOf(fields, "testId") === "") throw new InputError("bad-request", "Choose the test whose curve turns blue into light: the same coating on the same paper.", { field: "testId" });
      const photo = file("photo");
      if (photo === undefined) throw new InputError("bad-request", "Choose the picture of the exposed sheet.", { field: "photo" });
      const evenLight = file("evenLight");
      const { pictureId } = await keepPicture(tools, photo);
      const evenLightId = evenLight === undefined ? "" : (await keepPicture(tools, evenLight)).pictureId;
      await showCorners(response, { ...fields, pictureId, evenLightId }, undefined, null, 200);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      showForm(response, fields, error.detail, problemFrom(error).status);
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
      const lamp = store.lamps.find(textOf(values, "lampId"));
      renderPage(response, "evenness/map", { title: "Evenness of the bed", here: "studio" }, { ...mapView(map, textOf(values, "pictureId")), lamp: lamp === undefined ? null : { id: lamp.id, name: lamp.name } });
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof ZodError)) throw error;
      const problem = problemFrom(error);
      if (store.pictures.find(textOf(values, "pictureId")) === undefined) showForm(response, values, "The picture is no longer kept: choose it again.", 400);
      else await showCorners(response, values, corners, errors["corners"] ?? problem.detail, problem.status);
    }
  });

  router.post("/evenness/keep", form, (request, response) => {
    const values = formValuesFrom(request.body);
    const lampId = textOf(values, "lampId");
    const evenness = { madeAt: new Date().toISOString(), rangeStops: numberOf(values, "rangeStops"), evenShare: numberOf(values, "evenShare") };
    store.lamps.replace(lampId, lampInputSchema.parse({ ...store.lamps.get(lampId), evenness }));
    response.redirect(303, `/studio/boxes/${lampId}`);
  });
  return router;
}

/** The map as rectangles, contour lines and labels of an SVG, and the same as a table. */
function mapView(map: Evenness, pictureId: string) {
  const bedRatio = map.workArea.widthMm !== null && map.workArea.heightMm !== null ? (map.workArea.heightMm / map.workArea.height) / (map.workArea.widthMm / map.workArea.width) : cornersRatio(map.corners);
  const height = Math.round(drawnWidth * Math.min(2, Math.max(0.35, bedRatio)));
  const cell = { width: drawnWidth / map.columns, height: height / map.rows };
  const x = (share: number): number => Math.round(share * drawnWidth * 10) / 10;
  const y = (share: number): number => Math.round(share * height * 10) / 10;
  const stopsAt = (row: number, column: number): number => map.stops[row * map.columns + column] ?? 0;
  const pick = (count: number, most: number): number[] => Array.from({ length: Math.min(count, most) }, (_, index) => Math.floor(((index + 0.5) * count) / Math.min(count, most)));
  const [rows, columns] = [pick(map.rows, 5), pick(map.columns, 5)];
  return {
    pictureId,
    width: drawnWidth,
    height,
    // One blue, paler where the light is weaker; labels and lines carry the numbers.
    cells: map.stops.map((stops, index) => ({ x: (index % map.columns) * cell.width, y: Math.floor(index / map.columns) * cell.height, width: cell.width, height: cell.height, opacity: Math.round(Math.max(0.06, 0.62 + stops * 0.55) * 100) / 100 })),
    contours: map.contours.map((contour) => ({ label: formatStops(contour.stops === 0 ? 0 : -Math.abs(contour.stops)), path: contour.pieces.map(([x1, y1, x2, y2]) => `M${x(x1)} ${y(y1)}L${x(x2)} ${y(y2)}`).join("") })),
    labels: rows.flatMap((row) => columns.map((column) => ({ x: x((column + 0.5) / map.columns), y: y((row + 0.5) / map.rows), text: formatFixed(stopsAt(row, column), 2) }))),
    work: { x: x(map.workArea.x), y: y(map.workArea.y), width: x(map.workArea.width), height: y(map.workArea.height) },
    range: formatFixed(map.worstToBestStops, 2),
    percent: formatShare(1 / map.worstToBestRatio),
    within: formatShare(map.withinTenthShare),
    reasons: map.reasons,
    warnings: map.warnings.map(({ message }) => message),
    table: rows.map((row) => columns.map((column) => `${formatFixed(stopsAt(row, column), 2)} (${formatFixed(map.percent[row * map.columns + column] ?? 0, 0)} %)`)),
    rangeStops: map.worstToBestStops,
    evenShare: map.withinTenthShare,
  };
}

/** Height over width of the area between four corners, by its middle lines. */
function cornersRatio([a, b, c, d]: Corners): number {
  const length = (p: readonly [number, number], q: readonly [number, number]): number => Math.hypot(p[0] - q[0], p[1] - q[1]);
  return (length(a, d) + length(b, c)) / Math.max(1, length(a, b) + length(d, c));
}
