// The run sheet of a print: which step runs, how long it still takes, and what comes next.
import type { Procedure, ProcedureStep } from "#shared/schema/procedures.ts";
import type { ExposurePlan, RunStep } from "#shared/schema/prints.ts";

/** Five minutes for each bath, one in peroxide: common practice, no source. */
const bathSeconds = 300;
const peroxideSeconds = 60;

/** What a coating without a procedure of its own is given; every step can be edited. common practice, no source */
export const defaultProcedure: Procedure = [
  { name: "Exposure", kind: "exposure", seconds: null, note: "" },
  {
    name: "First wash, slightly acidic",
    kind: "bath",
    seconds: bathSeconds,
    note: "water with a little white vinegar or citric acid; gloves on",
  },
  {
    name: "Peroxide bath",
    kind: "bath",
    seconds: peroxideSeconds,
    note:
      "0.3 %: the household 3 %, diluted ten times, never stronger; brings the blue out at once; keep it in no " +
      "closed bottle",
  },
  { name: "Final wash", kind: "wash", seconds: bathSeconds, note: "plain water, changed until it runs clear" },
  { name: "Drying", kind: "dry", seconds: null, note: "flat, out of strong light; judge and measure it bone dry" },
];

/** Name of the step in which the lamp warms up before the exposure. */
export const warmUpName = "Lamp warms up";

const onePart: ExposurePlan = { parts: 1, restSeconds: bathSeconds, warmUpSeconds: 0, note: "" };

/**
 * The steps of one print from a procedure: the exposure step gets the planned time, in as many parts as planned with
 * rests between them, after the lamp's warming up.
 * @param exposureSeconds planned exposure, of all parts together [s]
 */
export function runStepsFrom(
  procedure: readonly ProcedureStep[],
  exposureSeconds: number,
  plan: ExposurePlan = onePart,
): RunStep[] {
  return procedure
    .flatMap((step) => (step.kind === "exposure" ? exposureSteps(step, exposureSeconds, plan) : [step]))
    .map((step) => ({ ...step, startedAt: null, endedAt: null, pausedAt: null, pausedSeconds: 0 }));
}

function exposureSteps(step: ProcedureStep, exposureSeconds: number, plan: ExposurePlan): ProcedureStep[] {
  const { parts, restSeconds, warmUpSeconds } = plan;
  const note = [step.note, plan.note].filter((text) => text !== "").join("; ");
  const warmUp: ProcedureStep[] =
    warmUpSeconds > 0 ? [{ name: warmUpName, kind: "other", seconds: warmUpSeconds, note: "print still covered" }] : [];
  const exposures = Array.from({ length: parts }, (_, index): ProcedureStep[] => [
    ...(index === 0 ? [] : [{ name: "Lamp rests", kind: "other", seconds: restSeconds, note: "" } as const]),
    {
      ...step,
      name: parts === 1 ? step.name : `${step.name}, part ${index + 1} of ${parts}`,
      seconds: exposureSeconds / parts,
      note,
    },
  ]);
  return [...warmUp, ...exposures.flat()];
}

export type StepState =
  | { readonly kind: "waiting" }
  /** `leftSeconds` is negative when the planned time has passed; null when the step ends by looking. */
  | { readonly kind: "running" | "paused"; readonly ranSeconds: number; readonly leftSeconds: number | null }
  | { readonly kind: "done"; readonly ranSeconds: number };

/**
 * Where a step stands at an instant.
 * @param nowMs instant [ms since 1970]
 */
export function stepStateAt(step: RunStep, nowMs: number): StepState {
  if (step.startedAt === null) return { kind: "waiting" };
  const ranSeconds = ranSecondsAt(step, nowMs);
  if (step.endedAt !== null) return { kind: "done", ranSeconds };
  const leftSeconds = step.seconds === null ? null : step.seconds - ranSeconds;
  return { kind: step.pausedAt === null ? "running" : "paused", ranSeconds, leftSeconds };
}

/** Time that a step ran until an instant, without its pauses; 0 before it began [s]. */
export function ranSecondsAt(step: RunStep, nowMs: number): number {
  if (step.startedAt === null) return 0;
  const until = step.endedAt ?? step.pausedAt;
  const untilMs = until === null ? nowMs : Date.parse(until);
  return Math.max(0, (untilMs - Date.parse(step.startedAt)) / 1000 - step.pausedSeconds);
}

/** Index of the step that runs, or of the next one that waits; -1 when all are done. */
export function currentStepIndex(steps: readonly RunStep[]): number {
  const running = steps.findIndex((step) => step.startedAt !== null && step.endedAt === null);
  return running >= 0 ? running : steps.findIndex((step) => step.startedAt === null);
}

export type PrintState = "planned" | "in-work" | "finished";

/** A print is finished when every step has ended, in work when any has begun. */
export function printStateOf(steps: readonly RunStep[]): PrintState {
  if (steps.every((step) => step.endedAt !== null)) return "finished";
  return steps.some((step) => step.startedAt !== null) ? "in-work" : "planned";
}

/**
 * Seconds that the exposure really took: as timed when it was, else as planned.
 * @param plannedSeconds planned exposure [s]
 */
export function exposedSeconds(steps: readonly RunStep[], plannedSeconds: number): number {
  const exposures = steps.filter(
    (step) => step.kind === "exposure" && step.startedAt !== null && step.endedAt !== null,
  );
  if (exposures.length === 0) return plannedSeconds;
  return exposures.reduce((sum, step) => sum + ranSecondsAt(step, 0), 0);
}

/** A step that has more than this share of its planned time left is ended by a slip more often than on purpose. */
const cutShortShare = 0.2;

/**
 * What is left of a step that a press would cut short.
 * @returns seconds left; null when the press may go ahead: nothing runs, or little is left of it
 */
export function cutShortSeconds(step: RunStep | undefined, nowMs: number): number | null {
  if (step === undefined || step.seconds === null) return null;
  const state = stepStateAt(step, nowMs);
  if (state.kind !== "running" && state.kind !== "paused") return null;
  const left = step.seconds - state.ranSeconds;
  return left > cutShortShare * step.seconds ? left : null;
}
