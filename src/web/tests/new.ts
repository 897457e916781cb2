// A new test: the form, its reading, and the corners when the tablet was not found. Nothing typed is ever lost on the
// way.
import express, { Router, type Request, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { cornersSchema, type Corners } from "#shared/schema/reading.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import { keepPicture, pictureSize } from "#src/studio/tests/preview-picture.ts";
import type { Tools } from "#src/studio/tools.ts";
import { problemFrom } from "#src/web/problem.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { cornersPage, guessedCorners } from "./corners-view.ts";
import { furtherFiles, furtherPictures, keepFurther, keptFurther } from "#src/web/parts/further-pictures.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { chosenMaterials, materialFields, withMaterialsAdded } from "#src/web/parts/material-fields.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { freshTestForm, testRequestFrom } from "./form.ts";
import { testFormView } from "./form-view.ts";

/** Input errors that the right corners can mend. */
const mendedByCorners = new Set(["no-tablet-found", "corners-impossible", "too-few-steps"]);
const maxFormBytes = 500_000;

interface Sent {
  readonly values: FormValues;
  readonly photo?: Uint8Array;
  readonly evenLight?: Uint8Array;
  readonly furtherPhotos: readonly Uint8Array[];
}

/** The form as it came: with files from the first page, without from the corners page. */
async function receiveForm(request: Request, response: Response): Promise<Sent> {
  if (!request.is("multipart/form-data")) return { values: formValuesFrom(request.body), furtherPhotos: [] };
  const upload = await receiveUpload(request, response);
  const file = (field: string): Uint8Array | undefined =>
    upload.files.find((each) => each.field === field && each.bytes.byteLength > 0)?.bytes;
  const photo = file("photo");
  const evenLight = file("evenLight");
  const furtherPhotos = upload.files
    .filter((each) => each.field === "furtherPhoto" && each.bytes.byteLength > 0)
    .map((each) => each.bytes);
  return {
    values: upload.fields,
    furtherPhotos,
    ...(photo === undefined ? {} : { photo }),
    ...(evenLight === undefined ? {} : { evenLight }),
  };
}

export function newTestRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;

  async function showForm(response: Response, values: FormValues, errors: FieldErrors, status: number): Promise<void> {
    const pictureId = textOf(values, "pictureId");
    const isKept = pictureId !== "" && store.pictures.find(pictureId) !== undefined;
    renderPage(
      response,
      "tests/new",
      { title: "New test", here: "new-test", scripts: ["new-test"], status },
      testFormView({
        action: "/tests/new",
        values,
        errors,
        photo: true,
        pictureId: isKept ? pictureId : "",
        kept: keptFurther(tools, values),
        materials: materialFields(store, values, errors),
        lead:
          "A dry print of a step tablet, or of a strip uncovered in steps, photographed or scanned. Wedgewright " +
          "reads its tones and says how long to expose.",
        sendLabel: "Read the picture",
      }),
    );
  }

  async function showCorners(
    response: Response,
    values: FormValues,
    pictureId: string,
    error: InputError,
  ): Promise<void> {
    const picture = await pictureSize(tools, pictureId);
    const parsed = testRequestFrom({ ...values }, { lampId: "x", supportId: "x", coatingId: "x" });
    const typed = "request" in parsed ? parsed.request.corners : undefined;
    const guess = cornersSchema.safeParse(error.extra?.["guess"]);
    const corners: Corners = typed ?? (guess.success ? guess.data : guessedCorners(picture.width, picture.height));
    const { view, data } = cornersPage({
      action: "/tests/new",
      lead:
        "Show where the tablet lies: drag the four handles onto its corners, step 1 at the first handle's end. " +
        "Everything you typed is kept.",
      notice: { tone: "caution", text: problemFrom(error).detail },
      pictureId,
      picture,
      corners,
      tablet: "request" in parsed ? parsed.request.tablet : { kind: "sheet" },
      reading: null,
      carried: { ...values, pictureId },
      saveLabel: "Read the picture here",
      back: null,
    });
    renderPage(
      response,
      "tests/corners",
      {
        title: "Where is the tablet?",
        here: "new-test",
        scripts: ["corners"],
        data,
        status: problemFrom(error).status,
      },
      view,
    );
  }

  router.get("/tests/new", async (request, response) => {
    await showForm(response, { ...freshTestForm, ...formValuesFrom(request.query) }, {}, 200);
  });

  router.post("/tests/new", express.urlencoded({ extended: false, limit: maxFormBytes }), async (request, response) => {
    const { values: sent, photo, evenLight, furtherPhotos } = await receiveForm(request, response);
    const values: FormValues = photo === undefined ? sent : { ...sent, pictureId: "" };
    const further = furtherPictures(tools, sent, {
      photos: furtherPhotos,
      ...(evenLight === undefined ? {} : { evenLight }),
    });
    /** The form again, with every picture that came with it kept. */
    const askAgain = async (again: FormValues, troubles: FieldErrors, status: number): Promise<void> => {
      const kept = await keepFurther(tools, further);
      await showForm(response, { ...again, ...kept.values }, { ...kept.errors, ...troubles }, status);
    };
    const { ids, errors: missing } = chosenMaterials(store, values);
    const parsed = testRequestFrom(values, ids);
    // Materials are asked first on the page, and what is missing of them is said best by their own words.
    const errors: FieldErrors = { ...missing, ...("errors" in parsed ? parsed.errors : {}), ...missing };
    let pictureId = textOf(values, "pictureId");
    try {
      if (photo !== undefined) ({ pictureId } = await keepPicture(tools, photo));
      else if (pictureId === "" || store.pictures.find(pictureId) === undefined)
        errors["photo"] = "Choose the picture of the print.";
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      errors["photo"] = error.detail;
      await askAgain(values, errors, problemFrom(error).status);
      return;
    }
    if (textOf(values, "again") !== "") {
      // Back from the corners: the form finds the tablet anew, once its number of steps is mended.
      const typed = Object.fromEntries(
        Object.entries(values).filter(([name]) => name !== "again" && !name.startsWith("corners.")),
      );
      await askAgain({ ...typed, pictureId }, {}, 200);
      return;
    }
    if (Object.keys(errors).length > 0 || "errors" in parsed) {
      await askAgain({ ...values, pictureId }, errors, 400);
      return;
    }
    const complete = withMaterialsAdded(tools, values, parsed.request);
    try {
      const picture = photo ?? (await store.pictures.read(pictureId));
      const files = await furtherFiles(tools, further);
      const test = await recordTest(tools, {
        request: complete,
        pictures: { ...files, photos: [picture, ...files.photos] },
      });
      response.redirect(303, `/tests/${test.id}`);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const inFurtherPhoto = error.extra?.["photoNumber"] !== undefined;
      if (inFurtherPhoto || !mendedByCorners.has(error.code)) {
        const field = inFurtherPhoto ? "furtherPhoto" : (error.field ?? "photo");
        await askAgain(
          { ...values, ...chosenIds(complete), pictureId },
          { [field]: error.detail },
          problemFrom(error).status,
        );
        return;
      }
      const kept = await keepFurther(tools, further);
      await showCorners(response, { ...values, ...chosenIds(complete), ...kept.values }, pictureId, error);
    }
  });

  return router;
}

/** Materials added in place are in the list now: the next sending chooses them there. */
function chosenIds(request: {
  lampId: string;
  supportId: string;
  coatingId: string;
  filmId?: string | null | undefined;
}): FormValues {
  return {
    lampId: request.lampId,
    supportId: request.supportId,
    coatingId: request.coatingId,
    filmId: request.filmId ?? "",
    newLampName: "",
    newSupportName: "",
    newCoatingName: "",
    newFilmName: "",
    newFilmBaseDensity: "",
  };
}
