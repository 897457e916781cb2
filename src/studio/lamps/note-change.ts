// What changed in the studio from one day on (new tubes, clean glass, another lot), and tests that somebody leaves out
// of the times.
import type { StudioChangeInput } from "#shared/schema/changes.ts";
import { refuseDayToCome } from "#src/studio/day-to-come.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

/** @throws InputError "bad-request" for a day more than a year ahead */
export function noteStudioChange({ store }: Pick<Tools, "store">, change: StudioChangeInput): void {
  refuseDayToCome(change.at, "at");
  forWriting(store).changes.create(change);
}

/** Nothing happens when it is not there. */
export function forgetStudioChange({ store }: Pick<Tools, "store">, id: string): void {
  forWriting(store).changes.remove(id);
}

/** @param reason why the test is left out of the times; null: it counts again */
export function leaveTestOut({ store }: Pick<Tools, "store">, testId: string, reason: string | null): void {
  forWriting(store).changes.leaveOut(testId, reason);
}
