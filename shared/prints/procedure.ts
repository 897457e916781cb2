// The run sheet of a print: which step runs, how long it still takes, and what comes next.
import type { Procedure, ProcedureStep } from "#shared/schema/procedures.ts";
import type { RunStep } from "#shared/schema/prints.ts";

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

/**
 * The steps of one print from a procedure: the exposure step gets the planned time.
 * @param exposureSeconds planned exposure [s]
 */
export function runStepsFrom(procedure: readonly ProcedureStep[], exposureSeconds: number): RunStep[] {
  return procedure.map((step) => ({
    ...step,
    seconds: step.kind === "exposure" ? exposureSeconds : step.seconds,
    startedAt: null,
    endedAt: null,
  }));
}

export type StepState =
  | { readonly kind: "waiting" }
  /** `leftSeconds` is negative when the planned time has passed; null when the step ends by looking. */
  | { readonly kind: "running"; readonly ranSeconds: number; readonly leftSeconds: number | null }
  | { readonly kind: "done"; readonly ranSeconds: number };

/**
 * Where a step stands at an instant.
 * @param nowMs instant [ms since 1970]
 */
export function stepStateAt(step: RunStep, nowMs: number): StepState {
  if (step.startedAt === null) return { kind: "waiting" };
  const startedMs = Date.parse(step.startedAt);
  if (step.endedAt !== null)
    return { kind: "done", ranSeconds: Math.max(0, (Date.parse(step.endedAt) - startedMs) / 1000) };
  const ranSeconds = Math.max(0, (nowMs - startedMs) / 1000);
  return { kind: "running", ranSeconds, leftSeconds: step.seconds === null ? null : step.seconds - ranSeconds };
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
  return exposures.reduce(
    (sum, step) => sum + Math.max(0, (Date.parse(step.endedAt ?? "") - Date.parse(step.startedAt ?? "")) / 1000),
    0,
  );
}
