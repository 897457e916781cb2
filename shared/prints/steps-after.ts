// What a press of start, end, pause, one minute more or set back does to a run sheet.
import { TroubleError } from "#shared/errors.ts";
import type { RunStep } from "#shared/schema/prints.ts";
import { currentStepIndex } from "./procedure.ts";

/** Why a press changes nothing. */
export type PressTrouble = { readonly code: "no-such-step" } | { readonly code: "no-such-press" };

/**
 * The steps after a press: beginning one ends the one that runs, and an end can be taken back. A press that comes twice
 * changes nothing.
 * @param at instant of the press, ISO 8601
 * @throws TroubleError "bad-request" when there is no such step or press
 */
export function stepsAfter(
  steps: readonly RunStep[],
  { index, act, at }: { index: number; act: string; at: string },
): RunStep[] {
  const pressed = steps[index];
  if (pressed === undefined) throw new TroubleError<PressTrouble>("bad-request", { code: "no-such-step" });
  switch (act) {
    case "start": {
      if (pressed.startedAt !== null && pressed.endedAt === null) return [...steps];
      const running = currentStepIndex(steps);
      return steps.map((step, each) => {
        if (each === index) return { ...step, ...unpaused, startedAt: at, endedAt: null };
        return each === running && step.startedAt !== null ? ended(step, at) : step;
      });
    }
    case "end":
      return steps.map((step, each) =>
        each === index ? ended({ ...step, startedAt: step.startedAt ?? at }, at) : step,
      );
    case "pause":
      return changed(steps, index, (step) => (isUnderWay(step) ? { ...step, pausedAt: step.pausedAt ?? at } : step));
    case "resume":
      return changed(steps, index, (step) => (isUnderWay(step) ? resumed(step, at) : step));
    case "minute":
      return changed(steps, index, (step) => (step.seconds === null ? step : { ...step, seconds: step.seconds + 60 }));
    case "reset":
      return steps.map((step, each) =>
        each === index ? { ...step, ...unpaused, startedAt: null, endedAt: null } : step,
      );
    default:
      throw new TroubleError<PressTrouble>("bad-request", { code: "no-such-press" });
  }
}

const unpaused = { pausedAt: null, pausedSeconds: 0 } as const;

function isUnderWay(step: RunStep): boolean {
  return step.startedAt !== null && step.endedAt === null;
}

function changed(steps: readonly RunStep[], index: number, change: (step: RunStep) => RunStep): RunStep[] {
  return steps.map((step, each) => (each === index ? change(step) : step));
}

/** A pause that lasted counts as pause; one that comes twice changes nothing. */
function resumed(step: RunStep, at: string): RunStep {
  if (step.pausedAt === null) return step;
  const lasted = Math.max(0, (Date.parse(at) - Date.parse(step.pausedAt)) / 1000);
  return { ...step, pausedAt: null, pausedSeconds: step.pausedSeconds + lasted };
}

/** Ended at an instant, or where it paused. */
function ended(step: RunStep, at: string): RunStep {
  return { ...step, endedAt: step.endedAt ?? step.pausedAt ?? at, pausedAt: null };
}
