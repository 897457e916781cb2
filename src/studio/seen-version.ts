// Two hands at once: a change may say which version of a record it was made on, and is refused when that is no longer
// the newest.
import { refusal } from "#shared/words/refusal-words.ts";

/** A record that says when it was last changed; that instant is its version. */
interface Versioned {
  readonly updatedAt: string;
}

/**
 * Refuses a change made on an older version; both are told, so that nothing has to be typed again.
 * @param seen version that the sender saw; undefined when it does not say, and then nothing is checked
 * @throws InputError "changed-meanwhile" with `current` (the record as it is) and `yours` (what was sent)
 */
export function refuseIfChanged(seen: string | undefined, current: Versioned, yours: unknown): void {
  if (seen === undefined || seen === current.updatedAt) return;
  throw refusal("changed-meanwhile", { code: "changed-meanwhile" }, { field: "version", extra: { current, yours } });
}
