// Who is next at a box: joining the queue, moving in it, being done, leaving it.
import type { QueueChange, QueueEntry, QueueEntryInput } from "#shared/schema/workshop/queue.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** Puts someone at the end of the queue. @throws InputError "bad-request" for an unknown box */
export function joinQueue({ store }: Pick<Tools, "store">, input: QueueEntryInput): QueueEntry {
  checkLamp(store, input.lampId);
  return forWriting(store).queue.create(input);
}

/**
 * Changes an entry: its words, its place by one up or down among those that wait for the same box, or whether it is
 * done.
 * @throws InputError "not-found", or "bad-request" for an unknown box
 */
export function changeQueueEntry(
  { store: reader }: Pick<Tools, "store">,
  id: string,
  { move, state, who, what, lampId }: QueueChange,
): QueueEntry {
  const store = forWriting(reader);
  return store.transaction(() => {
    const before = store.queue.get(id);
    checkLamp(store, lampId);
    const entry = {
      ...before,
      state: state ?? before.state,
      who: who ?? before.who,
      what: what ?? before.what,
      lampId: lampId === undefined ? before.lampId : lampId,
    };
    const neighbour = move === undefined ? undefined : neighbourOf(waitingFor(store, entry.lampId), id, move);
    if (neighbour === undefined) return store.queue.replace(id, entry);
    store.queue.replace(neighbour.id, { ...neighbour, place: before.place });
    return store.queue.replace(id, { ...entry, place: neighbour.place });
  });
}

/** Takes an entry out. @throws InputError "not-found" */
export function leaveQueue({ store }: Pick<Tools, "store">, id: string): void {
  store.queue.get(id);
  forWriting(store).queue.remove(id);
}

/**
 * Who waits for a box, next first: those for this box and those for any; everybody when no box is named.
 * @param lampId the box; undefined or null for all
 */
export function waitingFor(store: Tools["store"], lampId: string | null | undefined): QueueEntry[] {
  return store.queue
    .list({ state: "waiting" })
    .filter((entry) => lampId == null || entry.lampId == null || entry.lampId === lampId);
}

function neighbourOf(waiting: readonly QueueEntry[], id: string, move: "up" | "down"): QueueEntry | undefined {
  const index = waiting.findIndex((entry) => entry.id === id);
  return index < 0 ? undefined : waiting[index + (move === "up" ? -1 : 1)];
}

function checkLamp(store: Tools["store"], lampId: string | null | undefined): void {
  if (lampId != null && store.lamps.find(lampId) === undefined)
    throw refusal("bad-request", { code: "no-such-ingredient", what: "lamp" }, { field: "lampId" });
}
