// The queue: who is next at a box, on every device; and the same large, for the wall.
import express, { Router, type Response } from "express";
import { queueChangeSchema, queueEntryInputSchema, type QueueEntry } from "#shared/schema/workshop/queue.ts";
import { changeQueueEntry, joinQueue, leaveQueue, waitingFor } from "#src/studio/teaching/keep-queue.ts";
import type { Tools } from "#src/studio/tools.ts";
import { errorSummary, formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";

const maxFormBytes = 20_000;
/** Entries that were done, shown below. */
const shownDone = 8;
const labels = { who: "The name", lampId: "The box", what: "What is printed" };

export function queuePageRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  const boxes = (): { id: string; name: string }[] =>
    store.lamps.list().filter(({ kind }) => kind !== "sun" && kind !== "shade");
  const cardOf = (entry: QueueEntry) => ({
    id: entry.id,
    who: entry.who,
    what: entry.what,
    box: entry.lampId == null ? "any box" : (store.lamps.find(entry.lampId)?.name ?? "a forgotten box"),
    since: clockOf(entry.createdAt),
  });

  function showQueue(response: Response, values: FormValues, errors: FieldErrors = {}, status = 200): void {
    const lampId = textOf(values, "lampId");
    renderPage(
      response,
      "teaching/queue",
      { title: "Who is next", here: "queue", status },
      {
        waiting: waitingFor(store, lampId || null).map(cardOf),
        done: store.queue.list({ state: "done", limit: shownDone }).map(cardOf),
        boxes: [{ value: "", label: "any box" }, ...boxes().map(({ id, name }) => ({ value: id, label: name }))],
        views: [{ id: "", name: "All boxes" }, ...boxes()].map(({ id, name }) => ({
          name,
          href: id === "" ? "/queue" : `/queue?lampId=${encodeURIComponent(id)}`,
          largeHref: id === "" ? "/queue/next" : `/queue/next?lampId=${encodeURIComponent(id)}`,
          isChosen: id === lampId,
        })),
        lampId,
        values,
        errors,
        summary: errorSummary(errors, [
          ["who", "queue-who"],
          ["lampId", "queue-box"],
          ["what", "queue-what"],
        ]),
      },
    );
  }

  /** Back to the queue of the box that was looked at. */
  const backTo = (values: FormValues): string => {
    const lampId = textOf(values, "of");
    return lampId === "" ? "/queue" : `/queue?${new URLSearchParams({ lampId }).toString()}`;
  };

  router.get("/queue", (request, response) => {
    showQueue(response, formValuesFrom(request.query));
  });
  router.get("/queue/next", (request, response) => {
    const lampId = textOf(formValuesFrom(request.query), "lampId");
    const [next, ...then] = waitingFor(store, lampId || null).map(cardOf);
    renderPage(
      response,
      "teaching/next",
      { title: "Next", here: "queue", scripts: ["at-the-box"] },
      {
        next: next ?? null,
        then: then.slice(0, 4),
        box: store.lamps.find(lampId)?.name ?? null,
        of: lampId,
      },
    );
  });
  router.post("/queue", form, (request, response) => {
    const values = formValuesFrom(request.body);
    try {
      const { who = "", what = "", lampId = "" } = values;
      joinQueue(tools, queueEntryInputSchema.parse({ who, what, lampId: lampId === "" ? null : lampId }));
      response.redirect(303, backTo(values));
    } catch (error) {
      const { errors, status } = formTrouble(error, { field: "who", labels });
      if (status >= 500) throw error;
      showQueue(response, values, errors, status);
    }
  });
  router.post("/queue/:id/:press", form, (request, response) => {
    const { id = "", press = "" } = request.params as Record<string, string>;
    const values = formValuesFrom(request.body);
    if (press === "leave") leaveQueue(tools, id);
    else {
      const change = press === "up" || press === "down" ? { move: press } : { state: press };
      changeQueueEntry(tools, id, queueChangeSchema.parse(change));
    }
    response.redirect(303, textOf(values, "large") === "" ? backTo(values) : `/queue/next${backTo(values).slice(6)}`);
  });
  return router;
}

/** Hour and minute by this machine's clock. */
function clockOf(instant: string): string {
  const at = new Date(instant);
  return `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
}
