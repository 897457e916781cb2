// The way to the next negative: sheet, reading, curve, and the form that makes it.
import { Router, type Response } from "express";
import { negativeRequestFromForm } from "#shared/correction/negative-form.ts";
import { InputError } from "#shared/errors.ts";
import { correctionQuerySchema } from "#shared/schema/correction.ts";
import { mostSeriesPictures, negativeRequestSchema, seriesRequestSchema } from "#shared/schema/negative.ts";
import { makeNegative } from "#src/studio/negatives/make-negative.ts";
import { makeSeries } from "#src/studio/negatives/make-series.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { fieldErrors, formTrouble, type FormNames } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { receiveToDisk } from "#src/web/upload-to-disk.ts";
import { dated, photoOf, sendNegative, sendSeries } from "./send-negative.ts";
import { formOfMade } from "./form-of-made.ts";
import { madeRows } from "./made-view.ts";
import { negativePage, pageCurve, toneTests, versionsOf } from "./view.ts";

/** Every fault of a crop is told at its four fields. */
const names: FormNames = [
  [/^crop/, "crop"],
  [/^(heightMm|longSideMm)$/, "widthMm"],
  [/^filmSize\.width/, "filmWidthMm"],
  [/^filmSize\.height/, "filmHeightMm"],
];
const labels: Readonly<Record<string, string>> = {
  widthMm: "The size",
  dpi: "The resolution",
  marginMm: "The margin",
  overlapMm: "The overlap",
  filmWidthMm: "The film's width",
  filmHeightMm: "The film's height",
  tile: "The number of the sheet",
  crop: "The crop",
};

export function negativePageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;

  router.get("/negatives", (_request, response) => {
    renderPage(
      response,
      "negatives/list",
      { title: "The next negative", here: "negatives" },
      { tests: toneTests(store), made: madeRows(store) },
    );
  });

  function showForm(response: Response, values: FormValues, errors: FieldErrors, status: number): void {
    const tests = toneTests(store);
    const chosen = tests.find((test) => test.id === textOf(values, "testId")) ?? tests[0];
    if (chosen === undefined) {
      response.redirect(303, "/negatives");
      return;
    }
    const { view, data } = negativePage(store, { tests, chosen, values, errors });
    renderPage(
      response,
      "negatives/new",
      { title: "Make a negative", here: "negatives", scripts: ["negative"], data, status },
      view,
    );
  }

  router.get("/negatives/new", (request, response) => {
    const asked = formValuesFrom(request.query);
    const like = store.madeNegatives.find(textOf(asked, "like"));
    const values = { ...(like === undefined ? {} : formOfMade(like.request)), ...asked };
    const target = correctionQuerySchema.shape.target.safeParse(values["target"] ?? "lightness");
    const errors: FieldErrors = target.success ? {} : { target: "This scale cannot be read: choose one here." };
    showForm(response, target.success ? values : { ...values, target: "" }, errors, target.success ? 200 : 400);
  });

  /** Another test was chosen: its curve and colours for the preview. */
  router.get("/negatives/curves/:id", (request, response) => {
    const asked = formValuesFrom(request.query);
    const curve = pageCurve(store, {
      testId: request.params.id,
      target: textOf(asked, "target") || "lightness",
      curveId: textOf(asked, "curveId"),
    });
    if (curve === null) throw new InputError("no-correction", "This test gives no tone curve: choose another.");
    response.json({ ...curve, versions: versionsOf(store, request.params.id) });
  });

  router.post("/negatives", async (request, response) => {
    const upload = await receiveToDisk(request, response, { mostPictures: mostSeriesPictures });
    // An absent tick box is a box without a tick.
    const values: FormValues = {
      registrationMarks: "",
      marginStrip: "",
      caption: "",
      invert: "",
      mirror: "",
      ...upload.fields,
    };
    const wish = negativeRequestFromForm(values);
    const series = upload.pictures.length > 1 ? seriesRequestSchema.safeParse(wish) : null;
    const parsed = series ?? negativeRequestSchema.safeParse(wish);
    if (!parsed.success) {
      showForm(response, values, fieldErrors(parsed.error, { field: "widthMm", names, labels }), 400);
      return;
    }
    try {
      const means = { workFolder: upload.folder, signal: closingSignal(response) };
      if (series?.success) {
        const wish = { request: dated(series.data), pictures: upload.pictures, ...means };
        await sendSeries(response, await makeSeries(tools, wish));
        return;
      }
      const wish = { request: dated(parsed.data), file: photoOf(upload), pictureName: upload.photoName, ...means };
      sendNegative(response, await makeNegative(tools, wish));
    } catch (error) {
      const { errors, status } = formTrouble(error);
      showForm(response, values, errors, status);
    }
  });
  return router;
}
