// The day under the sun, and its frames.
import express, { Router } from "express";
import { forgetSunAnchor } from "#src/studio/sun/forget-sun-anchor.ts";
import { placeFor, placesFor } from "#src/studio/sun/find-place.ts";
import { planSunExposure } from "#src/studio/sun/plan-sun-exposure.ts";
import { InputError } from "#shared/errors.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formValuesFrom, textOf, textsOf } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { dayPageRoutes } from "./day-routes.ts";
import { framePageRoutes } from "./frame-routes.ts";
import { sunFormFrom, type Planned } from "./form.ts";
import { yearPageRoutes } from "./year-routes.ts";
import { sunPageView } from "./view.ts";

/**
 * Values of the ticked anchor boxes; the newest sun test, or else the newest kept anchor, when the form was not sent.
 */
function anchorsOf(sent: Readonly<Record<string, unknown>>, store: Tools["store"]): string[] {
  const ticked = textsOf(sent, "anchor");
  if (ticked.length > 0 || sent["chosen"] !== undefined) return ticked;
  const [test] = store.sunTestIds(1);
  if (test !== undefined) return [`test:${test}`];
  return store.sunAnchors
    .list()
    .slice(0, 1)
    .map((anchor) => `kept:${anchor.id}`);
}

/** Longest text that is looked up as a place: the address of a map. */
const longestName = 600;

export function sunPageRoutes({ store }: Pick<Tools, "store">): Router {
  const router = Router();

  /** The form and, where it names a place, its plan; an anchor that is gone becomes a field's error. */
  function planned(sent: unknown): Planned {
    const fields: Readonly<Record<string, unknown>> = typeof sent === "object" && sent !== null ? { ...sent } : {};
    const form = sunFormFrom(formValuesFrom(fields), anchorsOf(fields, store), Date.now());
    if (form.request === null) return { form, answer: null };
    try {
      return { form, answer: planSunExposure({ store }, form.request) };
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const field = error.field?.startsWith("anchor") ? "anchor" : (error.field ?? "date");
      return { form: { ...form, errors: { ...form.errors, [field]: error.detail } }, answer: null };
    }
  }

  router.get("/sun", (request, response) => {
    const { form, answer } = planned(request.query);
    const status = Object.keys(form.errors).length > 0 ? 400 : 200;
    renderPage(
      response,
      "sun/planner",
      { title: "Expose by the sun", here: "sun", scripts: ["sun-planner"], status },
      sunPageView(store, form, answer, Date.now()),
    );
  });

  /** Towns whose name begins so, for the page's script. */
  router.get("/sun/places", (request, response) => {
    const name = textOf(formValuesFrom(request.query), "name").slice(0, longestName);
    response.json({ places: placesFor(name), isSure: placeFor(name) !== null });
  });

  router.use(framePageRoutes({ store, planned }));
  router.use(dayPageRoutes({ store, planned }));
  router.use(yearPageRoutes({ planned }));

  router.post(
    "/sun/anchors/:id/delete",
    express.urlencoded({ extended: false, limit: "10kb" }),
    (request, response) => {
      forgetSunAnchor({ store }, request.params.id ?? "");
      response.redirect(303, "/sun");
    },
  );

  return router;
}
