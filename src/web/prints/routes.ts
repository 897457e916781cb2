// Prints in work and the print log: begin one, time its steps, judge it.
import express, { Router, type Response } from "express";
import { currentStepIndex, cutShortSeconds } from "#shared/prints/procedure.ts";
import { stepsAfter } from "#shared/prints/steps-after.ts";
import { outcomeSchema, printPatchSchema, printRequestSchema, type SavedPrint } from "#shared/schema/prints.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import { beginPrint, changePrint, deletePrint, keepPrintPicture } from "#src/studio/keep-print.ts";
import type { Tools } from "#src/studio/tools.ts";
import { fieldErrors, formTrouble } from "#src/web/parts/form-errors.ts";
import { receiveUpload } from "#src/web/upload.ts";
import {
  formValuesFrom,
  isTicked,
  numberOf,
  secondsOf,
  textOf,
  type FieldErrors,
  type FormValues,
} from "#src/web/parts/form-values.ts";
import { chosenMaterials, withMaterialsAdded } from "#src/web/parts/material-fields.ts";
import {
  adviceFrom,
  areTestsDisputed,
  exposurePlanFrom,
  isTimeOfOthers,
  newPrintWords,
  timeOfTests,
  withoutAdvice,
} from "./form.ts";
import { coolingView } from "./cooling-view.ts";
import { newPrintView, printCard, printedByOf, printTitle, printView, type Sent } from "./view.ts";
import { timeNowWarnings } from "./time-now.ts";
import { renderPage } from "#src/web/parts/render.ts";
import { modelReady } from "#src/web/parts/model-ready.ts";

const maxFormBytes = 100_000;
const outcomeLabels = {
  printedBy: "The name under “Printed by”",
  notes: "The notes",
  areaCm2: "The coated area",
  coatingMl: "The sensitizer used",
};
/** Finished prints on one page of the log. */
const pageSize = 40;

/** Address of the next page of the log, of one person where it is narrowed. */
function olderHref(printedBy: string, after: string): string {
  return `/prints?${new URLSearchParams({ ...(printedBy === "" ? {} : { by: printedBy }), after }).toString()}`;
}

export function printPageRoutes(tools: Tools): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  router.get("/prints", (request, response) => {
    const asked = formValuesFrom(request.query);
    const [after, printedBy] = [textOf(asked, "after"), textOf(asked, "by")];
    const nowMs = Date.now();
    const cards = (state: "planned" | "in-work") =>
      store.prints.list({ state, printedBy }).prints.map((print) => printCard(store, print, nowMs));
    const finished = store.prints.list({
      state: "finished",
      printedBy,
      limit: pageSize,
      ...(after === "" ? {} : { after }),
    });
    renderPage(
      response,
      "prints/list",
      { title: "Prints", here: "prints", scripts: ["print-timers"] },
      {
        inWork: cards("in-work"),
        planned: cards("planned"),
        finished: finished.prints.map((print) => printCard(store, print, nowMs)),
        cooling: store.lamps.list().flatMap(({ id }) => coolingView(store, id, nowMs) ?? []),
        people: printedByOf(store),
        by: printedBy,
        nextHref: finished.next === null ? null : olderHref(printedBy, finished.next),
      },
    );
  });

  function showNew(
    response: Response,
    values: FormValues,
    errors: FieldErrors,
    status: number,
    { isDisputed = false, isFilledIn = false } = {},
  ): void {
    renderPage(
      response,
      "prints/new",
      { title: "New print", here: "prints", status },
      { ...newPrintView(store, values, errors), isDisputed, isFilledIn },
    );
  }

  /** The form again, with the time that the tests of the chosen combination tell, or with the question for one. */
  function askForTime(response: Response, values: FormValues, errors: FieldErrors, isOfOthers: boolean): void {
    const isDisputed = areTestsDisputed(tools, values);
    const known = isDisputed ? null : timeOfTests(tools, values);
    const rest = withoutAdvice(values);
    if (known !== null) {
      showNew(response, { ...rest, ...known }, errors, 200, { isFilledIn: true });
      return;
    }
    const missing = isOfOthers
      ? "The time that stood here was for another combination. Say how long this one is exposed."
      : "Say how long it is exposed, in minutes and seconds.";
    showNew(response, rest, { ...errors, exposureSeconds: missing }, 400, { isDisputed });
  }

  router.get("/prints/new", modelReady(tools), (request, response) => {
    const asked = formValuesFrom(request.query);
    // A time of tests that contradict each other is nobody's to print by.
    const isDisputed = areTestsDisputed(tools, asked);
    const values = isDisputed ? withoutAdvice(asked) : asked;
    const planned = numberOf(values, "exposureSeconds");
    const clock =
      planned !== undefined && planned > 0
        ? { minutes: String(Math.floor(planned / 60)), seconds: String(Math.round(planned % 60)) }
        : {};
    const known = isDisputed || planned !== undefined ? null : timeOfTests(tools, values);
    showNew(response, { ...values, ...clock, ...known }, {}, 200, { isDisputed, isFilledIn: known !== null });
  });

  router.post("/prints/new", modelReady(tools), form, (request, response) => {
    const values = formValuesFrom(request.body);
    const { ids: chosen, errors } = chosenMaterials(store, values);
    const typedSeconds = secondsOf(values, "minutes", "seconds");
    const isOfOthers = isTimeOfOthers(values, typedSeconds);
    const exposureSeconds = isOfOthers ? undefined : typedSeconds;
    if (exposureSeconds === undefined || !(exposureSeconds > 0)) {
      // Nothing is begun by a time that nobody has seen: what the tests tell is filled in, and the form shown again.
      askForTime(response, values, errors, isOfOthers);
      return;
    }
    if (Object.keys(errors).length > 0) {
      showNew(response, values, errors, 400);
      return;
    }
    const advice = adviceFrom(values);
    const asked = printRequestSchema.omit({ lampId: true, supportId: true, coatingId: true }).safeParse({
      name: textOf(values, "name"),
      printedBy: textOf(values, "printedBy"),
      exposureSeconds,
      ...exposurePlanFrom(values),
      ...(advice === null ? {} : { advice }),
    });
    if (!asked.success) {
      showNew(response, values, fieldErrors(asked.error, newPrintWords), 400);
      return;
    }
    const ids = withMaterialsAdded(tools, values, chosen);
    const print = beginPrint(tools, printRequestSchema.parse({ ...asked.data, ...ids }));
    response.redirect(303, `/prints/${print.id}`);
  });

  function showOne(response: Response, print: SavedPrint, sent: Sent = {}, status = 200): void {
    const view = printView(store, print, sent);
    renderPage(
      response,
      "prints/show",
      {
        title: printTitle(store, print),
        here: "prints",
        scripts: ["print-timers"],
        record: `prints/${print.id}`,
        status,
      },
      { ...view, warnings: [...timeNowWarnings(tools, print), ...view.warnings] },
    );
  }

  router.get("/prints/:id", modelReady(tools), (request, response) => {
    const { cut, act = "end" } = formValuesFrom(request.query);
    const press = cut === undefined ? null : { index: Number(cut), act: act === "start" ? "start" : "end" };
    showOne(response, store.prints.get(String(request.params["id"])), { press });
  });

  router.post("/prints/:id/steps/:index/:act", form, (request, response) => {
    const { id = "", index = "", act = "" } = request.params as Record<string, string>;
    const print = store.prints.get(id);
    const values = formValuesFrom(request.body);
    const running = currentStepIndex(print.steps);
    const endsRunning = act === "end" ? Number(index) === running : act === "start" && Number(index) !== running;
    const cuts = endsRunning ? cutShortSeconds(print.steps[running], Date.now()) : null;
    if (cuts !== null && !isTicked(values, "sure")) {
      response.redirect(303, `/prints/${id}?${new URLSearchParams({ cut: index, act }).toString()}`);
      return;
    }
    const steps = inPlainWords(() =>
      stepsAfter(print.steps, { index: Number(index), act, at: new Date().toISOString() }),
    );
    changePrint(tools, id, { steps });
    response.redirect(303, textOf(values, "back") === "log" ? "/prints" : `/prints/${id}`);
  });

  router.post("/prints/:id", async (request, response) => {
    const { id } = request.params;
    const { fields: values, files } = await receiveUpload(request, response);
    const photo = files.find((file) => file.field === "photo" && file.bytes.byteLength > 0);
    const outcome = textOf(values, "outcome");
    try {
      changePrint(
        tools,
        id,
        printPatchSchema.parse({
          ...(outcome === "" ? {} : { outcome: outcome === "none" ? null : outcomeSchema.parse(outcome) }),
          printedBy: textOf(values, "printedBy"),
          notes: textOf(values, "notes"),
          areaCm2: numberOf(values, "areaCm2") ?? null,
          coatingMl: numberOf(values, "coatingMl") ?? null,
        }),
      );
      if (photo !== undefined) await keepPrintPicture(tools, id, photo.bytes);
      response.redirect(303, `/prints/${id}`);
    } catch (error) {
      const { errors, status } = formTrouble(error, { field: "photo", labels: outcomeLabels });
      if (status >= 500 || status === 404) throw error;
      showOne(response, store.prints.get(id), { values, errors }, status);
    }
  });

  router.post("/prints/:id/delete", form, (request, response) => {
    deletePrint(tools, String(request.params["id"]));
    response.redirect(303, "/prints");
  });
  return router;
}
