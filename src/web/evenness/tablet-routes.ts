// The evenness of a bed from several tablets: marking each in the picture, saying where it lay, and the map.
import express, { Router, type Response } from "express";
import { InputError } from "#shared/errors.ts";
import { evennessRequestSchema } from "#shared/schema/evenness.ts";
import { mapEvenness } from "#src/studio/lamps/map-evenness.ts";
import type { Tools } from "#src/studio/tools.ts";
import { closingSignal } from "#src/web/parts/closing-signal.ts";
import { troubleOf } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, numberOf, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { tabletFrom } from "#src/web/tests/tablet-form.ts";
import { evennessMapView } from "./map-view.ts";
import { showTablets, tabletFormErrors } from "./tablets-view.ts";
import { tabletCount, tabletsFrom } from "./tablet-places.ts";

const maxFormBytes = 100_000;
type ShowForm = (response: Response, values: FormValues, errors: FieldErrors, status: number) => void;

export function evennessTabletRoutes(tools: Tools, showForm: ShowForm): Router {
  const router = Router();
  router.post(
    "/evenness/tablets",
    express.urlencoded({ extended: false, limit: maxFormBytes }),
    async (request, response) => {
      const sent = formValuesFrom(request.body);
      const { count } = tabletCount(sent);
      const change = { add: 1, remove: -1 }[textOf(sent, "change")] ?? 0;
      const values = { ...sent, count: String(count + change) };
      if (tools.store.pictures.find(textOf(values, "pictureId")) === undefined) {
        showForm(
          response,
          { ...values, pictureId: "" },
          { photo: "The picture is no longer kept: choose it again." },
          400,
        );
        return;
      }
      const formErrors = tabletFormErrors(values);
      if (Object.keys(formErrors).length > 0) showForm(response, values, formErrors, 400);
      else if (change !== 0) await showTablets(tools, response, { values, problem: null, status: 200 });
      else await showMap(response, values);
    },
  );

  async function showMap(response: Response, values: FormValues): Promise<void> {
    try {
      const { value: asked, errors } = tabletsFrom(values);
      const [wrong] = Object.entries(errors);
      if (wrong !== undefined) throw new InputError("bad-request", wrong[1], { field: wrong[0] });
      const request = evennessRequestSchema.parse({
        kind: "tablets",
        tablet: tabletFrom(values).value,
        ...asked,
        bedWidthMm: numberOf(values, "bedWidthMm"),
        bedHeightMm: numberOf(values, "bedHeightMm"),
        lampId: tools.store.lamps.find(textOf(values, "lampId"))?.id,
      });
      const photo = await tools.store.pictures.read(textOf(values, "pictureId"));
      const map = await mapEvenness(tools, { request, pictures: { photo }, signal: closingSignal(response) });
      renderPage(
        response,
        "evenness/map",
        { title: "Evenness of the bed", here: "studio" },
        evennessMapView(tools.store, map, textOf(values, "lampId")),
      );
    } catch (error) {
      const trouble = troubleOf(error);
      // The page turns to the tablet that was at fault.
      const marked = /^(tablets\.\d+|bed)/.exec(trouble.field)?.[0] ?? textOf(values, "marked");
      await showTablets(tools, response, {
        values: { ...values, marked },
        problem: trouble.words,
        status: trouble.status,
      });
    }
  }
  return router;
}
