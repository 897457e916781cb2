// What a press of start, end or set back does to a run sheet.
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
        if (each === index) return { ...step, startedAt: at, endedAt: null };
        return each === running && step.startedAt !== null ? { ...step, endedAt: step.endedAt ?? at } : step;
      });
    }
    case "end":
      return steps.map((step, each) =>
        each === index ? { ...step, startedAt: step.startedAt ?? at, endedAt: step.endedAt ?? at } : step,
      );
    case "reset":
      return steps.map((step, each) => (each === index ? { ...step, startedAt: null, endedAt: null } : step));
    default:
      throw new TroubleError<PressTrouble>("bad-request", { code: "no-such-press" });
  }
}
