// A new test: the form, its reading, and the corners when the tablet was not found. Nothing typed is lost on the way.
import express, { Router, type Request, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { suggestFrom } from "#shared/reading/corners/finding-confidence.ts";
import { cornersSchema, type Corners } from "#shared/schema/reading.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import { pictureSize } from "#src/studio/tests/preview-picture.ts";
import { depthOfCoating } from "#src/studio/look-up-exposure.ts";
import { recordTest } from "#src/studio/tests/record-test.ts";
import type { Tools } from "#src/studio/tools.ts";
import { problemFrom } from "#src/web/problem.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { cornersPage, guessedCorners } from "./corners-view.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { keepSentPictures, keptPictures, printPicturesOf, type SentPictures } from "#src/web/parts/kept-pictures.ts";
import { chosenMaterials, materialFields, withMaterialsAdded } from "#src/web/parts/material-fields.ts";
import { placesOfLights, withPlaceOfLight } from "#src/web/parts/place-of-light.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { withInstrumentFile } from "./instrument-form.ts";
import { freshTestForm, testFormFrom, withOwnDepth, type TestForm } from "./form.ts";
import { testFormView } from "./form-view.ts";
import { otherStrips } from "./other-strips.ts";
import { valuesAsBefore } from "./last-used.ts";

/** Input errors that the right corners can mend. */
const mendedByCorners = new Set(["no-tablet-found", "corners-impossible", "too-few-steps"]);
const maxFormBytes = 500_000;

export function newTestRoutes(tools: Tools): Router {
  const router = Router();
  router.get("/tests/new", (request, response) => {
    const asked = formValuesFrom(request.query);
    const before = valuesAsBefore(tools.store, asked);
    const values = { ...freshTestForm, ...before.values, ...asked };
    showForm(tools, response, { values, errors: {}, status: 200, asBefore: before.words });
  });
  router.post("/tests/new", express.urlencoded({ extended: false, limit: maxFormBytes }), async (request, response) => {
    const sent = await receiveForm(tools, request, response);
    if (textOf(sent.values, "again") !== "") {
      showForm(tools, response, { values: withoutCorners(sent.values), errors: {}, status: 200 });
      return;
    }
    const placed = withPlaceOfLight(tools.store, sent.values);
    const form = testFormFrom(placed, chosenMaterials(tools.store, sent.values), tools.store.tablets.find);
    const errors = { ...form.errors, ...photoErrors(tools, sent), ...sent.errors };
    if (form.request === null || Object.keys(errors).length > 0)
      showForm(tools, response, { values: sent.values, errors, status: sent.status });
    else await record(tools, response, { values: sent.values, form, request: form.request });
  });
  return router;
}

/** The form as it came, with files or, from the corners page, without. Its pictures are kept from here on. */
async function receiveForm(tools: Tools, request: Request, response: Response): Promise<SentPictures> {
  if (!request.is("multipart/form-data")) return { values: formValuesFrom(request.body), errors: {}, status: 400 };
  const { fields, files } = await receiveUpload(request, response);
  return keepSentPictures(tools, withInstrumentFile(fields, files), files);
}

function photoErrors({ store }: Tools, { values, errors }: SentPictures): FieldErrors {
  if (errors["photo"] !== undefined || keptPictures(store, values).main !== "") return {};
  if (textOf(values, "instrumentText") !== "") return {};
  return { photo: "Choose the picture of the print, or give an instrument's numbers." };
}

/** Back from the corners: the form finds the tablet anew, once its number of steps is mended. */
function withoutCorners(values: FormValues): FormValues {
  return Object.fromEntries(
    Object.entries(values).filter(([name]) => name !== "again" && !name.startsWith("corners.")),
  );
}

/** Reads the pictures and saves the test; where that fails, asks for what would mend it. */
async function record(
  tools: Tools,
  response: Response,
  { values, form, request }: { values: FormValues; form: TestForm; request: TestRequest },
): Promise<void> {
  const depthOf = (coatingId: string): number => depthOfCoating(tools.store, coatingId);
  const complete = withOwnDepth(values, withMaterialsAdded(tools, values, request), depthOf);
  const again = { ...values, ...chosenIds(complete) };
  try {
    const pictures = printPicturesOf(keptPictures(tools.store, values));
    const test = await recordTest(tools, { request: complete, pictures });
    response.redirect(303, `/tests/${test.id}`);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const inFurtherPhoto = error.extra?.["photoNumber"] !== undefined;
    if (mendedByCorners.has(error.code) && !inFurtherPhoto) {
      await showCorners(tools, response, { values: again, form, error });
      return;
    }
    const field = inFurtherPhoto ? "furtherPhoto" : formFieldOf(error);
    showForm(tools, response, { values: again, errors: { [field]: error.detail }, status: problemFrom(error).status });
  }
}

/** The form's own name for the field at fault. */
const formFieldOf = ({ field = "photo" }: InputError): string =>
  field.startsWith("instrument") ? "instrumentText" : field;

function showForm(
  tools: Pick<Tools, "store">,
  response: Response,
  form: { values: FormValues; errors: FieldErrors; status: number; asBefore?: string },
): void {
  const { values, errors, status, asBefore = "" } = form;
  renderPage(
    response,
    "tests/new",
    { title: "New test", here: "new-test", scripts: ["new-test"], status },
    testFormView({
      action: "/tests/new",
      values,
      errors,
      photo: true,
      kept: keptPictures(tools.store, values),
      materials: materialFields(tools.store, values, errors),
      ownTablets: tools.store.tablets.list(),
      otherStrips: otherStrips(tools.store),
      placesOfLights: placesOfLights(tools.store),
      asBefore,
      lead: "One dry test print, one picture of it.",
      sendLabel: "Read the picture",
    }),
  );
}

/** The likeliest corners, where they have a fair chance. */
function suggestedCorners({ extra }: InputError): Corners | null {
  const guess = cornersSchema.safeParse(extra?.["guess"]);
  return guess.success && Number(extra?.["confidence"]) >= suggestFrom ? guess.data : null;
}

async function showCorners(
  tools: Tools,
  response: Response,
  { values, form, error }: { values: FormValues; form: TestForm; error: InputError },
): Promise<void> {
  const pictureId = keptPictures(tools.store, values).main;
  const picture = await pictureSize(tools, pictureId);
  const { detail, status } = problemFrom(error);
  const known = form.corners ?? suggestedCorners(error);
  const { view, data } = cornersPage({
    action: "/tests/new",
    lead:
      "Show where the tablet lies: its four corners, step 1 at the first corner's end. " +
      "Everything you typed is kept.",
    notice: { tone: "caution", text: detail },
    pictureId,
    picture,
    corners: known ?? guessedCorners(picture.width, picture.height),
    tablet: form.tablet,
    reading: null,
    isPlaceKnown: known !== null,
    carried: values,
    saveLabel: "Read the picture here",
    back: null,
  });
  renderPage(
    response,
    "tests/corners",
    { title: "Where is the tablet?", here: "new-test", scripts: ["corners"], data, status },
    view,
  );
}

/** Materials added in place are in the list now: the next sending chooses them there. */
function chosenIds({ lampId, supportId, coatingId, filmId }: TestRequest): FormValues {
  return {
    lampId,
    supportId,
    coatingId,
    filmId: filmId ?? "",
    newLampName: "",
    newSupportName: "",
    newCoatingName: "",
    newFilmName: "",
    newFilmBaseDensity: "",
  };
}
