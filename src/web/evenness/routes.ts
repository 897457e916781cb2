// The evenness of a bed: the form for an even sheet or several tablets; and of an even sheet its corners and the map of
// the light.
import express, { Router, type Response } from "express";
import { evennessRequestSchema } from "#shared/schema/evenness.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { keepEvenness } from "#src/studio/lamps/keep-evenness.ts";
import { mapEvenness } from "#src/studio/lamps/map-evenness.ts";
import { keepPicture, pictureSize } from "#src/studio/tests/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { formTrouble, troubleOf } from "#src/web/parts/form-errors.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { evennessCornersPage, evennessFormView } from "./form-view.ts";
import { evennessMapView } from "./map-view.ts";
import { evennessTabletRoutes } from "./tablet-routes.ts";
import { showTablets, tabletFormErrors } from "./tablets-view.ts";
import { formValuesFrom, numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { cornersFrom } from "#src/web/parts/corners-form.ts";

const maxFormBytes = 100_000;
const mapWords = { labels: { bedWidthMm: "Width of the exposed area", bedHeightMm: "Depth of the exposed area" } };

export function evennessPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function showForm(response: Response, values: FormValues, errors: FieldErrors, status: number): void {
    const isTablets = textOf(values, "kind") === "tablets";
    renderPage(
      response,
      isTablets ? "evenness/tablets-form" : "evenness/form",
      { title: "Map the evenness of a box", here: "studio", status },
      evennessFormView(store, values, errors),
    );
  }

  async function showCorners(
    response: Response,
    values: FormValues,
    corners: Corners | undefined,
    problem: string | null,
    status: number,
  ): Promise<void> {
    const size = await pictureSize(tools, textOf(values, "pictureId"));
    const { view, data } = evennessCornersPage({ values, size, corners, problem });
    renderPage(
      response,
      "evenness/corners",
      {
        title: "Where does the exposed area lie?",
        here: "studio",
        scripts: ["evenness-corners"],
        data,
        status,
      },
      view,
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
        const trouble = formTrouble(error, { field: name });
        values = { ...values, [idName]: "" };
        Object.assign(errors, trouble.errors);
        ({ status } = trouble);
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
      const trouble = formTrouble(error, { field: "photo" });
      showForm(response, { ...values, pictureId: "" }, trouble.errors, trouble.status);
    }
  });

  router.post("/evenness/map", form, async (request, response) => {
    const values = formValuesFrom(request.body);
    const { value: corners, errors } = cornersFrom(values);
    try {
      const asked = evennessRequestSchema.parse({
        kind: "exposure",
        testId: textOf(values, "testId"),
        corners,
        bedWidthMm: numberOf(values, "bedWidthMm"),
        bedHeightMm: numberOf(values, "bedHeightMm"),
        lampId: store.lamps.find(textOf(values, "lampId"))?.id,
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
      const trouble = troubleOf(error, mapWords);
      if (store.pictures.find(textOf(values, "pictureId")) === undefined)
        showForm(response, values, { photo: "The picture is no longer kept: choose it again." }, 400);
      else await showCorners(response, values, corners, errors["corners"] ?? trouble.words, trouble.status);
    }
  });

  router.use(evennessTabletRoutes(tools, showForm));

  router.post("/evenness/keep", form, (request, response) => {
    const values = formValuesFrom(request.body);
    const { id } = keepEvenness(tools, { mapId: textOf(values, "mapId"), lampId: textOf(values, "lampId") });
    response.redirect(303, `/studio/boxes/${id}`);
  });
  return router;
}
