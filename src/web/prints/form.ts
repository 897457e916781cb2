// What a new print's form carries beside the fields that one sees.
import { doTestsDisagree } from "#src/studio/look-up-exposure.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { FormWords } from "#src/web/parts/form-errors.ts";
import { numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";

const advisedNames = ["advisedSeconds", "advisedLowerSeconds", "advisedUpperSeconds"] as const;

/** Whether tests of the chosen combination contradict each other; false while one of its materials is not chosen. */
export function areTestsDisputed(tools: Pick<Tools, "store">, values: FormValues): boolean {
  const { store } = tools;
  const [lampId, supportId, coatingId, filmId] = [
    textOf(values, "lampId"),
    textOf(values, "supportId"),
    textOf(values, "coatingId"),
    textOf(values, "filmId"),
  ];
  if (!store.lamps.find(lampId) || !store.supports.find(supportId) || !store.coatings.find(coatingId)) return false;
  const film = store.films.find(filmId);
  return doTestsDisagree(tools, { lampId, supportId, coatingId, filmId: film === undefined ? undefined : filmId });
}

/** How the form names what the request's schema names. */
export const newPrintWords: FormWords = {
  names: [
    [/^plan\.parts/, "parts"],
    [/^plan\.restSeconds/, "restMinutes"],
    [/^plan\.warmUpSeconds/, "warmUpMinutes"],
    [/^plan/, "planNote"],
    [/^coolDownSeconds/, "coolDownMinutes"],
    [/^exposureSeconds/, "exposureSeconds"],
  ],
  labels: {
    name: "The name",
    printedBy: "The name under “Printed by”",
    parts: "The number of parts",
    restMinutes: "The rest",
    warmUpMinutes: "The warming up",
    coolDownMinutes: "The cooling",
    exposureSeconds: "The exposure",
  },
};

/** A field of minutes [s]; undefined where it was left empty. */
function secondsOfMinutes(values: FormValues, name: string): number | undefined {
  const typed = numberOf(values, name);
  return typed === undefined ? undefined : typed * 60;
}

/** How the exposure is gone about; what was left empty is as usual. */
export function exposurePlanFrom(values: FormValues): Readonly<Record<string, unknown>> {
  return {
    coolDownSeconds: secondsOfMinutes(values, "coolDownMinutes"),
    plan: {
      parts: numberOf(values, "parts"),
      restSeconds: secondsOfMinutes(values, "restMinutes"),
      warmUpSeconds: secondsOfMinutes(values, "warmUpMinutes"),
      note: textOf(values, "planNote"),
    },
  };
}

/** The same without a time and without what was advised. */
export function withoutAdvice(values: FormValues): FormValues {
  const left = new Set<string>([...advisedNames, "exposureSeconds"]);
  return Object.fromEntries(Object.entries(values).filter(([name]) => !left.has(name)));
}

/** What the calibration said, carried through the form. */
export function adviceFrom(values: FormValues): { seconds: number; lowerSeconds: number; upperSeconds: number } | null {
  const [seconds, lowerSeconds, upperSeconds] = advisedNames.map((name) => numberOf(values, name));
  if (seconds === undefined || lowerSeconds === undefined || upperSeconds === undefined) return null;
  return seconds > 0 && lowerSeconds > 0 && upperSeconds > 0 ? { seconds, lowerSeconds, upperSeconds } : null;
}
