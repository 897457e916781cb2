// Who sent a test, as one line.
import { formatDay } from "#shared/format/instant.ts";
import type { Sender } from "#shared/schema/workshop/studio-name.ts";

/** "Studio North, 1 May 2026: our new box". */
export function senderWords({ studio, note, sentOn }: Sender): string {
  const who = [studio === "" ? "a studio without a name" : studio, sentOn === "" ? "" : formatDay(sentOn)];
  return [who.filter((part) => part !== "").join(", "), note].filter((part) => part !== "").join(": ");
}
