// A strip photographed again after washes or in light: adding a reading, looking at the series.
import express, { Router, type Request, type Response } from "express";
import { fadingQuerySchema, fadingRequestSchema } from "#shared/schema/workshop/fading.ts";
import { fadingOf, forgetFading, readFading } from "#src/studio/cloth/read-fading.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { testTitle } from "#src/web/tests/title.ts";
import { printPicturesFrom, receiveUpload } from "#src/web/upload.ts";
import { fadingView } from "./fading-view.ts";

const labels = {
  washes: "The number of washes",
  lightDays: "The days in light",
  madeOn: "The day",
  notes: "The notes",
};

export function fadingPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;

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
        test: testTitle(store, store.tests.get(id)),
      },
    );
  }

  router.get("/tests/:id/fading", (request, response) => {
    show(request, response, { values: {}, errors: {}, status: 200 });
  });
  router.post("/tests/:id/fading", async (request, response) => {
    const upload = await receiveUpload(request, response);
    const values = formValuesFrom(upload.fields);
    try {
      const asked = fadingRequestSchema.parse({
        washes: numberOf(values, "washes") ?? 0,
        lightDays: numberOf(values, "lightDays") ?? 0,
        madeOn: textOf(values, "madeOn") || undefined,
        notes: textOf(values, "notes"),
      });
      const { photos } = printPicturesFrom(upload);
      await readFading(tools, request.params.id, { photo: photos[0]!, request: asked });
      response.redirect(303, `/tests/${request.params.id}/fading`);
    } catch (error) {
      const { errors, status } = formTrouble(error, { field: "photo", labels });
      if (status >= 500 || status === 404) throw error;
      show(request, response, { values, errors, status });
    }
  });
  router.post("/tests/:id/fading/:reading/delete", express.urlencoded({ extended: false }), (request, response) => {
    const { id = "", reading = "" } = request.params as Record<string, string>;
    forgetFading(tools, reading);
    response.redirect(303, `/tests/${id}/fading`);
  });
  return router;
}
