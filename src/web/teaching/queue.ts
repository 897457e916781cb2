// The queue: who is next at a box, on every device; and the same large, for the wall.
import express, { Router, type Response } from "express";
import { isDaylight } from "#shared/lamp/daylight.ts";
import { queueChangeSchema, queueEntryInputSchema, type QueueEntry } from "#shared/schema/workshop/queue.ts";
import { changeQueueEntry, joinQueue, leaveQueue, waitingFor } from "#src/studio/teaching/keep-queue.ts";
import type { Tools } from "#src/studio/tools.ts";
import { recordChoices } from "#src/web/parts/field-view.ts";
import { errorSummary, formTrouble } from "#src/web/parts/form-errors.ts";
import { formValuesFrom, textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { renderPage } from "#src/web/parts/render.ts";

const maxFormBytes = 20_000;
/** Entries that were done, shown below. */
const shownDone = 8;

/** A page of the queue, of one box or of all. */
function queueAddress(page: "/queue" | "/queue/next", lampId: string): string {
  return lampId === "" ? page : `${page}?${new URLSearchParams({ lampId }).toString()}`;
}

const labels = { who: "The name", lampId: "The box", what: "What is printed" };

export function queuePageRoutes(tools: Pick<Tools, "store">): Router {
  const router = Router();
  const { store } = tools;
  const form = express.urlencoded({ extended: false, limit: maxFormBytes });

  const boxes = (): { id: string; name: string }[] => store.lamps.list().filter(({ kind }) => !isDaylight(kind));
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
        boxes: recordChoices("any box", boxes()),
        views: [{ id: "", name: "All boxes" }, ...boxes()].map(({ id, name }) => ({
          name,
          href: queueAddress("/queue", id),
          largeHref: queueAddress("/queue/next", id),
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

  /** Back to the queue of the box that was looked at, as large as it was. */
  const backTo = (values: FormValues): string =>
    queueAddress(textOf(values, "large") === "" ? "/queue" : "/queue/next", textOf(values, "of"));

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
        backHref: queueAddress("/queue", lampId),
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
    response.redirect(303, backTo(values));
  });
  return router;
}

/** Hour and minute by this machine's clock. */
function clockOf(instant: string): string {
  const at = new Date(instant);
  return `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
}
