// What is said about a time zone or a time that cannot be understood.
import type { ClockTrouble } from "#shared/sun/local-clock.ts";
import type { Sentences } from "#shared/words/sentences.ts";

export const clockTroubleSentences: Sentences<ClockTrouble> = {
  "unknown-time-zone": ({ zone }) =>
    `"${zone}" is not a time zone known here. Write it like "Europe/Lisbon" or "America/Denver".`,
  "no-such-time": ({ day, time }) => `"${day} ${time}" is not a date and time. Write them like 2026-05-01 and 14:30.`,
};
