// A strip photographed again after washes or in light: adding a reading, mending its corners, looking at the series.
import express, { Router, type Request, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { fadingQuerySchema, fadingRequestSchema } from "#shared/schema/workshop/fading.ts";
import { changeFading, fadingOf, forgetFading, readFading } from "#src/studio/cloth/read-fading.ts";
import type { Tools } from "#src/studio/tools.ts";
import { cornersFrom } from "#src/web/parts/corners-form.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { keepSentPictures, keptPictures, type SentPictures } from "#src/web/parts/kept-pictures.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { testTitle } from "#src/web/tests/title.ts";
import { receiveUpload } from "#src/web/upload.ts";
import { isMendedByCorners, showFadingCorners } from "./fading-corners.ts";
import { fadingView } from "./fading-view.ts";

const labels = {
  washes: "The number of washes",
  lightDays: "The days in light",
  madeOn: "The day",
  notes: "The notes",
};
const maxFormBytes = 100_000;

export function fadingPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  function show(
    request: Request,
    response: Response,
    sent: { values: FormValues; errors: FieldErrors; status: number },
  ): void {
    const id = String(request.params["id"]);
    const asked = formValuesFrom(request.query);
    const query = fadingQuerySchema.safeParse({
      over: textOf(asked, "over") || undefined,
      after: numberOf(asked, "after"),
    });
    renderPage(
      response,
      "cloth/fading",
      { title: "Washed and hung in light", here: "tests", status: sent.status },
      {
        ...fadingView(fadingOf(tools, id, query.data ?? {}), {
          values: { ...asked, ...sent.values },
          errors: sent.errors,
        }),
        keptPictureId: keptPictures(store, sent.values).main,
        test: testTitle(store, store.tests.get(id)),
      },
    );
  }

  /** The form with its picture, or, from the page of corners, with the name of the one that is kept. */
  async function received(request: Request, response: Response): Promise<SentPictures> {
    if (!request.is("multipart/form-data")) return { values: formValuesFrom(request.body), errors: {}, status: 400 };
    const { fields, files } = await receiveUpload(request, response);
    return keepSentPictures(tools, fields, files);
  }

  router.get("/tests/:id/fading", (request, response) => {
    show(request, response, { values: {}, errors: {}, status: 200 });
  });

  router.post("/tests/:id/fading", form, async (request, response) => {
    const id = String(request.params["id"]);
    store.tests.get(id);
    const sent = await received(request, response);
    const { again, ...values } = sent.values;
    const pictureId = keptPictures(store, values).main;
    const { value: corners, errors: cornerErrors } = cornersFrom(values);
    if (again === "form") {
      show(request, response, { values, errors: {}, status: 200 });
      return;
    }
    if (pictureId === "") {
      const errors = { photo: "Choose the picture of the strip.", ...sent.errors };
      show(request, response, { values, errors, status: sent.status });
      return;
    }
    try {
      const asked = fadingRequestSchema.parse({
        washes: numberOf(values, "washes") ?? 0,
        lightDays: numberOf(values, "lightDays") ?? 0,
        madeOn: textOf(values, "madeOn") || undefined,
        notes: textOf(values, "notes"),
        corners,
      });
      refuseHalfCorners(cornerErrors);
      await readFading(tools, id, { photo: pictureId, request: asked });
      response.redirect(303, `/tests/${id}/fading`);
    } catch (error) {
      if (error instanceof InputError && isMendedByCorners(error)) {
        await showFadingCorners(tools, response, { testId: id, pictureId, corners, problem: error, carried: values });
        return;
      }
      const { errors, status } = formTrouble(error, { field: "photo", labels });
      if (status >= 500 || status === 404) throw error;
      show(request, response, { values, errors, status });
    }
  });

  router.get("/tests/:id/fading/:reading/corners", async (request, response) => {
    const { id, reading: readingId } = request.params;
    const reading = store.fading.get(readingId);
    const { pictureId } = reading;
    await showFadingCorners(tools, response, {
      testId: id,
      pictureId,
      corners: undefined,
      reading,
      problem: null,
      carried: {},
    });
  });

  router.post("/tests/:id/fading/:reading/corners", form, async (request, response) => {
    const { id = "", reading: readingId = "" } = request.params as Record<string, string>;
    const reading = store.fading.get(readingId);
    const { value: corners, errors } = cornersFrom(formValuesFrom(request.body));
    try {
      refuseHalfCorners(errors);
      await changeFading(tools, reading.id, { corners: corners ?? null });
      response.redirect(303, `/tests/${id}/fading`);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const { pictureId } = reading;
      await showFadingCorners(tools, response, {
        testId: id,
        pictureId,
        corners,
        reading,
        problem: error,
        carried: {},
      });
    }
  });

  router.post("/tests/:id/fading/:reading/delete", form, (request, response) => {
    const { id = "", reading = "" } = request.params as Record<string, string>;
    forgetFading(tools, reading);
    response.redirect(303, `/tests/${id}/fading`);
  });
  return router;
}

/** @throws InputError "corners-impossible" where only some of the eight numbers are there */
function refuseHalfCorners({ corners }: FieldErrors): void {
  if (corners !== undefined) throw new InputError("corners-impossible", corners, { field: "corners" });
}
