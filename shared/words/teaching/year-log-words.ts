// What the log of a year says besides its rows.
import type { Outcome } from "#shared/schema/prints.ts";

export const yearLogWords = {
  title: (year: number, studio: string): string => `${studio === "" ? "Log" : `${studio}: log`} of ${year}`,
  summary: (tests: number, prints: number): string =>
    `${tests} ${tests === 1 ? "test" : "tests"} and ${prints} ${prints === 1 ? "print" : "prints"}, by day.`,
  footing: (day: string): string =>
    `Printed on ${day} by Wedgewright. The time of a test is what it advises, that of a print what it was exposed for.`,
  invented: "invented sample",
  unjudged: "not judged",
} as const;

export const outcomeShort: Readonly<Record<Outcome, string>> = {
  "too-light": "too light",
  right: "right",
  "too-dark": "too dark",
};
