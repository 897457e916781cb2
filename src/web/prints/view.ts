// View objects of the print log, of a new print's form and of one print's run sheet.
import { batchesOf, batchKeepsUntil } from "#shared/coating/batches.ts";
import { keepingWarnings } from "#shared/coating/keeping.ts";
import { keepingWarningWords } from "#shared/words/materials/coating-words.ts";
import {
  currentStepIndex,
  cutShortSeconds,
  exposedSeconds,
  printStateOf,
  stepStateAt,
  type StepState,
} from "#shared/prints/procedure.ts";
import { stepHazard, type StepHazard } from "#shared/prints/step-hazard.ts";
import { outcomeWords as outcomeSentence } from "#shared/words/print-words.ts";
import { outcomeEvidence, type OutcomeEvidence } from "#shared/prints/outcome-evidence.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatDayAndTime } from "#shared/format/instant.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import type { Outcome, RunStep, SavedPrint } from "#shared/schema/prints.ts";
import type { StoreReader } from "#src/store/store.ts";
import { errorSummary, type FieldOrder } from "#src/web/parts/form-errors.ts";
import { textOf, type FieldErrors, type FormValues } from "#src/web/parts/form-values.ts";
import { materialFields } from "#src/web/parts/material-fields.ts";
import { clockView, type ClockView } from "./clock-view.ts";
import { coolingView } from "./cooling-view.ts";
import { adviceFrom, combinationKey } from "./form.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";

const outcomeWords: Readonly<Record<Outcome, string>> = {
  "too-light": "too light",
  right: "right",
  "too-dark": "too dark",
};

export interface StepView extends ClockView {
  readonly index: number;
  readonly name: string;
  readonly note: string;
  /** What can hurt in it; null for nothing. */
  readonly hazard: StepHazard | null;
  readonly state: StepState["kind"];
  readonly isNext: boolean;
  /** Planned time, "8:00", or "until it is done". */
  readonly planned: string;
  readonly took: string;
  /** For the live count: milliseconds since 1970, and planned seconds. */
  readonly startedMs: number | null;
  readonly seconds: number | null;
  /** Left of the step that a press would cut short, while it is asked for again; null otherwise. */
  readonly cut: { readonly left: string; readonly act: string; readonly index: number } | null;
}

export interface PrintCard {
  readonly id: string;
  readonly title: string;
  readonly materials: string;
  readonly day: string;
  readonly state: "planned" | "in-work" | "finished";
  readonly exposure: string;
  readonly outcome: string | null;
  readonly printedBy: string;
  readonly pictureId: string | null;
  /** The step that runs or comes next; null when all are done. */
  readonly step: StepView | null;
}

function lightOf(store: StoreReader, { lampId }: SavedPrint): Lamp["kind"] {
  return store.lamps.find(lampId)?.kind ?? "other";
}

export function printTitle(store: StoreReader, print: SavedPrint): string {
  return print.name === ""
    ? `Print on ${store.supports.find(print.supportId)?.name ?? "a forgotten support"}`
    : print.name;
}

/** A press that would cut the running step short and is asked for once more. */
interface CutPress {
  readonly act: string;
  readonly index: number;
}

function cutView(step: RunStep, press: CutPress, nowMs: number): StepView["cut"] {
  const seconds = cutShortSeconds(step, nowMs);
  return seconds === null ? null : { ...press, left: formatDuration(Math.ceil(seconds)) };
}

interface StepsShown {
  readonly light: Lamp["kind"];
  readonly nowMs: number;
  readonly press?: CutPress | null;
}

function stepViews(steps: readonly RunStep[], { light, nowMs, press = null }: StepsShown): StepView[] {
  const current = currentStepIndex(steps);
  return steps.map((step, index) => {
    const state = stepStateAt(step, nowMs);
    const cut = press === null || index !== current ? null : cutView(step, press, nowMs);
    return {
      index,
      name: step.name,
      note: step.note,
      hazard: stepHazard(step, light),
      state: state.kind,
      isNext: index === current && state.kind === "waiting",
      planned: step.seconds === null ? "until it is done" : formatDuration(step.seconds),
      took: state.kind === "done" ? formatDuration(state.ranSeconds) : "",
      startedMs: step.startedAt === null ? null : Date.parse(step.startedAt) + step.pausedSeconds * 1000,
      seconds: step.seconds,
      ...clockView(state),
      cut,
    };
  });
}

export function printCard(store: StoreReader, print: SavedPrint, nowMs: number): PrintCard {
  return {
    id: print.id,
    title: printTitle(store, print),
    materials: materialsText(store, { ...print, filmId: print.filmId ?? null }),
    day: formatDayAndTime(print.createdAt),
    state: printStateOf(print.steps),
    exposure: formatDuration(exposedSeconds(print.steps, print.exposureSeconds)),
    outcome: print.outcome ? outcomeWords[print.outcome] : null,
    printedBy: print.printedBy,
    pictureId: print.pictureId,
    step: stepViews(print.steps, { light: lightOf(store, print), nowMs })[currentStepIndex(print.steps)] ?? null,
  };
}

/** Judged prints of one combination held against the calibrated range that one of them was planned with. */
function evidenceFor(store: StoreReader, print: SavedPrint): (OutcomeEvidence & { readonly sentence: string }) | null {
  if (!print.advice) return null;
  const { lampId, supportId, coatingId } = print;
  const prints = store.prints
    .list({ lampId, supportId, coatingId, judged: true })
    .prints.filter((each) => (each.filmId ?? null) === (print.filmId ?? null))
    .flatMap((each) =>
      each.outcome ? [{ seconds: exposedSeconds(each.steps, each.exposureSeconds), outcome: each.outcome }] : [],
    );
  const evidence = outcomeEvidence({
    prints,
    lowerSeconds: print.advice.lowerSeconds,
    upperSeconds: print.advice.upperSeconds,
  });
  return { ...evidence, sentence: outcomeSentence(evidence) };
}

/** Fields of how the exposure is gone about, closed away until one of them is used. */
const planNames = ["parts", "restMinutes", "warmUpMinutes", "coolDownMinutes", "planNote"] as const;

const newPrintOrder: FieldOrder = [
  ["name", "print-name"],
  ["printedBy", "print-by"],
  ["exposureSeconds", "exposure-minutes"],
  ...planNames,
  "lampId",
  "supportId",
  "coatingId",
  "filmId",
];
const outcomeOrder: FieldOrder = [
  ["printedBy", "print-by"],
  ["notes", "print-notes"],
  ["areaCm2", "print-area"],
  ["coatingMl", "print-ml"],
  ["photo", "print-photo"],
];

/** What was typed on a print's page and what was wrong with it; empty when nothing was sent. */
export interface Sent {
  readonly values?: FormValues;
  readonly errors?: FieldErrors;
  readonly press?: CutPress | null;
}

/** Newest prints whose names are offered. */
const rememberedPrints = 200;

/** Who printed here lately, by name. */
export function printedByOf(store: StoreReader): string[] {
  const names = store.prints.list({ limit: rememberedPrints }).prints.map(({ printedBy }) => printedBy);
  return [...new Set(names)].filter((name) => name !== "").sort((a, b) => a.localeCompare(b));
}

export function newPrintView(store: StoreReader, values: FormValues, errors: FieldErrors) {
  return {
    name: textOf(values, "name"),
    people: printedByOf(store),
    minutes: textOf(values, "minutes"),
    seconds: textOf(values, "seconds"),
    values: { parts: "1", restMinutes: "5", warmUpMinutes: "0", coolDownMinutes: "0", ...values },
    planOpen: planNames.some((name) => values[name] !== undefined),
    materials: materialFields(store, values, errors),
    advice: adviceFrom(values),
    timeOf: adviceFrom(values) === null ? "" : combinationKey(values),
    advised: advisedWords(adviceFrom(values)),
    errors,
    summary: errorSummary(errors, newPrintOrder),
  };
}

/** "12:42 (8:39 to 19:12)"; null where nothing was advised. */
function advisedWords(advice: SavedPrint["advice"]): string | null {
  if (advice == null) return null;
  const { seconds, lowerSeconds, upperSeconds } = advice;
  return `${formatDuration(seconds)} (${formatDuration(lowerSeconds)} to ${formatDuration(upperSeconds)})`;
}

export function printView(store: StoreReader, print: SavedPrint, { values, errors = {}, press = null }: Sent = {}) {
  const state = printStateOf(print.steps);
  const nowMs = Date.now();
  return {
    id: print.id,
    materials: materialsText(store, { ...print, filmId: print.filmId ?? null }),
    state,
    steps: stepViews(print.steps, { light: lightOf(store, print), nowMs, press }),
    cooling: coolingView(store, print.lampId, nowMs),
    advice: advisedWords(print.advice),
    planned: formatDuration(print.exposureSeconds),
    printedBy: print.printedBy,
    warnings: warningsFor(store, print),
    isJudged: print.outcome != null,
    outcomes: Object.entries(outcomeWords).map(([value, label]) => ({
      value,
      label,
      isChosen: value === print.outcome,
    })),
    values: values ?? {
      printedBy: print.printedBy,
      notes: print.notes,
      areaCm2: print.areaCm2 ?? "",
      coatingMl: print.coatingMl ?? "",
    },
    errors,
    summary: errorSummary(errors, outcomeOrder),
    pictureId: print.pictureId,
    evidence: state === "finished" ? evidenceFor(store, print) : null,
  };
}

function warningsFor(store: StoreReader, print: SavedPrint): string[] {
  const coating = store.coatings.find(print.coatingId);
  const batch = coating && print.batchId ? batchesOf(coating).find(({ id }) => id === print.batchId) : undefined;
  const stocks = (batch?.stockIds ?? coating?.stockIds ?? []).flatMap((id) => store.stocks.find(id) ?? []);
  const mixedAt = batch?.madeOn ?? coating?.mixedAt ?? null;
  const keepsUntil = batch === undefined ? null : batchKeepsUntil(batch);
  return keepingWarnings({ usedAt: print.createdAt, mixedAt, keepsUntil, stocks }).map(keepingWarningWords);
}
