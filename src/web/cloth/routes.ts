// A paper or fabric as cloth: what is known of it, its shrinkage, and what prints on it take.
import express, { Router, type Request, type Response } from "express";
import {
  clothPlanQuerySchema,
  clothSchema,
  shrinkageRequestSchema,
  type ClothPlan,
} from "#shared/schema/workshop/cloth.ts";
import { keepShrinkage, planCloth } from "#src/studio/cloth/plan-cloth.ts";
import { changeMaterial } from "#src/studio/materials/keep-material.ts";
import type { Tools } from "#src/studio/tools.ts";
import { formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { clothFrom, clothLabels, clothView, planQueryFrom, shrinkageFrom } from "./cloth-view.ts";

const maxFormBytes = 50_000;
const cloth = "/materials/supports/:id/cloth";

export function clothPageRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });
  const idOf = (request: Request): string => String(request.params["id"]);

  function show(
    response: Response,
    id: string,
    { values, errors = {}, status = 200 }: { values: FormValues; errors?: FieldErrors; status?: number },
    plan: ClothPlan | null = null,
  ): void {
    const support = store.supports.get(id);
    renderPage(
      response,
      "cloth/show",
      { title: `${support.name} as cloth`, here: "materials", record: `supports/${id}`, status },
      clothView({ support, plan, values, errors }),
    );
  }

  router.get(cloth, (request, response) => {
    const id = idOf(request);
    const values = formValuesFrom(request.query);
    const query = planQueryFrom(values);
    let plan: ClothPlan | null;
    try {
      plan = query === null ? null : planCloth(tools, id, clothPlanQuerySchema.parse(query));
    } catch (error) {
      const { errors, status } = formTrouble(error, { labels: clothLabels });
      if (status >= 500 || status === 404) throw error;
      show(response, id, { values, errors, status });
      return;
    }
    show(response, id, { values }, plan);
  });

  /** Does what a form asks; trouble with what was typed goes back to the page. */
  function orShow(request: Request, response: Response, work: (id: string, values: FormValues) => void): void {
    const [id, values] = [idOf(request), formValuesFrom(request.body)];
    try {
      work(id, values);
    } catch (error) {
      const { errors, status } = formTrouble(error, {
        labels: clothLabels,
        names: [[/^(alongMm|acrossMm)/, "alongMm"]],
      });
      if (status >= 500 || status === 404) throw error;
      show(response, id, { values, errors, status });
      return;
    }
    response.redirect(303, `/materials/supports/${id}/cloth`);
  }

  router.post(cloth, form, (request, response) => {
    orShow(request, response, (id, values) => {
      const known = clothSchema.parse(clothFrom(values, store.supports.get(id).cloth ?? {}));
      changeMaterial(tools, { kind: "supports", id, changes: { cloth: known } });
    });
  });
  router.post(`${cloth}/shrinkage`, form, (request, response) => {
    orShow(request, response, (id, values) => {
      keepShrinkage(tools, id, shrinkageRequestSchema.parse(shrinkageFrom(values)));
    });
  });
  return router;
}
