// What changed in the studio from one day on (new tubes, clean glass, another lot), and tests that somebody leaves out
// of the times.
import type { StudioChange, StudioChangeInput } from "#shared/schema/changes.ts";
import { refuseDayToCome } from "#src/studio/day-to-come.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** @throws InputError "bad-request" for a day more than a year ahead, and for what is not there */
export function noteStudioChange({ store }: Pick<Tools, "store">, change: StudioChangeInput): StudioChange {
  refuseDayToCome(change.at, "at");
  const { scope, scopeId } = change;
  const kinds = { lamp: "lamps", support: "supports", coating: "coatings" } as const;
  if (store[kinds[scope]].find(scopeId) === undefined)
    throw refusal("bad-request", { code: "no-such-ingredient", what: scope, id: scopeId }, { field: "scopeId" });
  return forWriting(store).changes.create(change);
}

/** Nothing happens when it is not there. */
export function forgetStudioChange({ store }: Pick<Tools, "store">, id: string): void {
  forWriting(store).changes.remove(id);
}

/** @param reason why the test is left out of the times; null: it counts again */
export function leaveTestOut({ store }: Pick<Tools, "store">, testId: string, reason: string | null): void {
  forWriting(store).changes.leaveOut(testId, reason);
}
