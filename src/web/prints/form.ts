// What a new print's form carries beside the fields that one sees.
import { isDaylight } from "#shared/lamp/daylight.ts";
import { depthOfCoating, doTestsDisagree, lookUpExposure } from "#src/studio/look-up-exposure.ts";
import type { ExposureQuery } from "#shared/schema/exposures.ts";
import type { Tools } from "#src/studio/tools.ts";
import type { FormWords } from "#src/web/parts/form-errors.ts";
import { chosenMaterials } from "#src/web/parts/material-fields.ts";
import { numberOf, textOf, type FormValues } from "#src/web/parts/form-values.ts";
import { advisedFields, rangeUnknown, type AdvisedTime } from "./run-sheet-query.ts";

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

/**
 * The time of the chosen combination by all its tests; null where they tell none, where the sun decides, and while a
 * material is not chosen, or new.
 */
export function adviceOfTests(tools: Pick<Tools, "store">, values: FormValues): AdvisedTime | null {
  const query = chosenCombination(tools, values);
  if (query === null) return null;
  const { seconds, source, nextPrint } = lookUpExposure(tools, query);
  return seconds === null || source === "predicted" ? null : { ...(nextPrint ?? rangeUnknown), seconds };
}

/** ... as the form's fields carry it. */
export function timeOfTests(tools: Pick<Tools, "store">, values: FormValues): FormValues | null {
  const advice = adviceOfTests(tools, values);
  if (advice === null) return null;
  const whole = Math.round(advice.seconds);
  return { minutes: String(Math.floor(whole / 60)), seconds: String(whole % 60), ...advisedFields(advice) };
}

/** What is chosen, as the lookup is asked; null while one of it is not chosen, or new, and under the sun. */
function chosenCombination({ store }: Pick<Tools, "store">, values: FormValues): ExposureQuery | null {
  const { lampId = "", supportId = "", coatingId = "", filmId, batchId } = chosenMaterials(store, values).ids;
  const lamp = store.lamps.find(lampId);
  if (lamp === undefined || isDaylight(lamp.kind)) return null;
  if (store.supports.find(supportId) === undefined || store.coatings.find(coatingId) === undefined) return null;
  if (filmId != null && store.films.find(filmId) === undefined) return null;
  return {
    lampId,
    supportId,
    coatingId,
    share: depthOfCoating(store, coatingId),
    ...(filmId == null ? {} : { filmId }),
    ...(batchId == null ? {} : { batchId }),
  };
}

/** Names the combination that a time on the form is of. */
export function combinationKey(values: FormValues): string {
  return ["lampId", "supportId", "coatingId", "filmId"].map((name) => textOf(values, name)).join(" ");
}

/** Whether the form still holds the time that was advised for what was chosen before. */
export function isTimeOfOthers(values: FormValues, exposureSeconds: number | undefined): boolean {
  const timeOf = textOf(values, "timeOf");
  const advised = numberOf(values, "advisedSeconds");
  return timeOf !== "" && timeOf !== combinationKey(values) && exposureSeconds === Math.round(advised ?? -1);
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
  const left = new Set<string>([...advisedNames, "exposureSeconds", "minutes", "seconds", "timeOf"]);
  return Object.fromEntries(Object.entries(values).filter(([name]) => !left.has(name)));
}

/** What the calibration said, carried through the form. */
export function adviceFrom(values: FormValues): { seconds: number; lowerSeconds: number; upperSeconds: number } | null {
  const [seconds, lowerSeconds, upperSeconds] = advisedNames.map((name) => numberOf(values, name));
  if (seconds === undefined || lowerSeconds === undefined || upperSeconds === undefined) return null;
  return seconds > 0 && lowerSeconds > 0 && upperSeconds > 0 ? { seconds, lowerSeconds, upperSeconds } : null;
}
