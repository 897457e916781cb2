// What lay on the print, as the form asks for it.
import type { Tablet } from "#shared/schema/reading.ts";
import type { TabletInput } from "#shared/schema/tablets.ts";
import { tabletForRequest } from "#shared/tablet/own-tablet.ts";
import { totalsFromWaits } from "#shared/tablet/timed-strip.ts";
import {
  areTimesPlainNumbers,
  durationListOf,
  numberListOf,
  numberOf,
  textOf,
  type Asked,
  type FormValues,
} from "#src/web/parts/form-values.ts";
import { stripSeries } from "./strip-series.ts";

/** A common film tablet: how many steps, how far apart. Source: common practice, no source. */
interface EvenTablet {
  readonly steps: number;
  readonly increment: number;
}

/** Choices of the form, by value of the radio button. */
const evenTablets: Readonly<Record<string, EvenTablet>> = {
  "even-21": { steps: 21, increment: 0.15 },
  "even-31": { steps: 31, increment: 0.1 },
  "even-41": { steps: 41, increment: 0.05 },
};

/** Density of the clear first step of a film tablet: the base alone. Source: common practice, no source. */
export const usualFirstDensity = 0.05;

/** How well a listed tablet is known, carried along unseen from the studio's own tablets and from saved tests. */
const tabletTrustFields = ["toleranceDensity", "scaleSigmaShare", "baseSigmaDensity"] as const;

function tabletTrustOf(values: FormValues): Record<string, number> {
  return Object.fromEntries(
    tabletTrustFields.flatMap((field) => {
      const value = numberOf(values, field);
      return value === undefined || Number.isNaN(value) ? [] : [[field, value]];
    }),
  );
}

/** A list that must hold three numbers at least. */
const isShort = (numbers: readonly number[]): boolean => numbers.length < 3 || numbers.some(Number.isNaN);

function when(isWrong: boolean, field: string, sentence: string): Record<string, string> {
  return isWrong ? { [field]: sentence } : {};
}

function evenTablet(values: FormValues, even: { steps: number | undefined; increment: number | undefined }): unknown {
  return { kind: "transmission", ...even, firstDensity: numberOf(values, "firstDensity") ?? usualFirstDensity };
}

function listedTablet(values: FormValues): Asked<unknown> {
  const densities = numberListOf(textOf(values, "densities"));
  return {
    value: { kind: "transmission", densities, ...tabletTrustOf(values) },
    errors: when(
      isShort(densities),
      "densities",
      "Write the density of each step, clearest first, with blanks between them: at least three numbers.",
    ),
  };
}

function timedTablet(values: FormValues): Asked<unknown> {
  const typed = textOf(values, "timedTimes");
  const series = stripSeries.find(({ key }) => key === textOf(values, "timedSeries"));
  if (typed === "" && series !== undefined) return { value: { kind: "timed", seconds: series.seconds }, errors: {} };
  const unit = textOf(values, "timedUnit");
  const times = durationListOf(typed, unit === "minutes" ? "minutes" : "seconds");
  const isAmbiguous = unit === "" && areTimesPlainNumbers(typed) && isSunTest(values);
  const sentence = isShort(times)
    ? "Write the time of each step, longest first, such as 16:00 8:00 4:00 2:00: at least three times. Or choose a " +
      "series."
    : "Are these minutes or seconds? A test in the sun seldom ends in seconds. Choose below what plain numbers are.";
  return {
    value: { kind: "timed", seconds: textOf(values, "timedMeaning") === "waits" ? totalsFromWaits(times) : times },
    errors: when(isShort(times) || isAmbiguous, "timedTimes", sentence),
  };
}

function levelsTablet(values: FormValues): Asked<unknown> {
  const levels = numberListOf(textOf(values, "levels"));
  return {
    value: { kind: "levels", levels },
    errors: when(
      isShort(levels),
      "levels",
      "Write the grey level of each step from 0 (darkest blue) to 255 (white paper), with blanks between them: at " +
        "least three numbers.",
    ),
  };
}

const withoutErrors = (value: unknown): Asked<unknown> => ({ value, errors: {} });

/** How the fields of each other choice are read. */
const readers: Readonly<Record<string, (values: FormValues) => Asked<unknown>>> = {
  "even-other": (values) =>
    withoutErrors(evenTablet(values, { steps: numberOf(values, "steps"), increment: numberOf(values, "increment") })),
  listed: listedTablet,
  timed: timedTablet,
  levels: levelsTablet,
  sheet: () => withoutErrors({ kind: "sheet" }),
};

const ownPrefix = "own-";

/** The form's choice of one of the studio's own tablets. */
export function ownTabletValue(id: string): string {
  return `${ownPrefix}${id}`;
}

/** Looks up one of the studio's own tablets. */
export type FindTablet = (id: string) => TabletInput | undefined;

function ownTablet(own: TabletInput | undefined): Asked<unknown> {
  if (own !== undefined) return withoutErrors(tabletForRequest(own));
  const sentence = "This tablet is no longer among yours: choose another.";
  return { value: { kind: "sheet" }, errors: { tabletChoice: sentence } };
}

/** The tablet that the form speaks of, for a schema to judge. */
export function tabletFrom(values: FormValues, findTablet: FindTablet = () => undefined): Asked<unknown> {
  const choice = textOf(values, "tabletChoice");
  if (choice.startsWith(ownPrefix)) return ownTablet(findTablet(choice.slice(ownPrefix.length)));
  const even = Object.hasOwn(evenTablets, choice) ? evenTablets[choice] : undefined;
  if (even !== undefined) return withoutErrors(evenTablet(values, even));
  const reader = Object.hasOwn(readers, choice) ? readers[choice] : undefined;
  return reader?.(values) ?? { value: { kind: "sheet" }, errors: { tabletChoice: "Choose what lay on the print." } };
}

/** Whether the form says that the test was printed in the sun. */
function isSunTest(values: FormValues): boolean {
  return ["sunCity", "sunLatitude", "sunStartedAt"].some((name) => textOf(values, name) !== "");
}

/** What the fields would have to hold to give this tablet again. */
export function tabletValues(tablet: Tablet): FormValues {
  switch (tablet.kind) {
    case "transmission":
      return "densities" in tablet
        ? {
            tabletChoice: "listed",
            densities: tablet.densities.join(" "),
            ...Object.fromEntries(
              tabletTrustFields.flatMap((field) =>
                tablet[field] === undefined ? [] : [[field, String(tablet[field])]],
              ),
            ),
          }
        : evenTabletValues(tablet);
    case "timed":
      return { tabletChoice: "timed", timedTimes: tablet.seconds.join(" "), timedUnit: "seconds" };
    case "levels":
      return { tabletChoice: "levels", levels: tablet.levels.join(" ") };
    case "sheet":
      return { tabletChoice: "sheet" };
  }
}

function evenTabletValues({ steps, increment, firstDensity }: EvenTablet & { firstDensity: number }): FormValues {
  const common = Object.entries(evenTablets).find(([, even]) => even.steps === steps && even.increment === increment);
  return {
    tabletChoice: common?.[0] ?? "even-other",
    steps: String(steps),
    increment: String(increment),
    firstDensity: String(firstDensity),
  };
}
