// What a press of start, end or set back does to a run sheet.
import { InputError } from "#shared/errors.ts";
import type { RunStep } from "#shared/schema/prints.ts";
import { currentStepIndex } from "./procedure.ts";

/**
 * The steps after a press: beginning one ends the one that runs, and an end can be taken back. A press that comes twice changes nothing.
 * @param at instant of the press, ISO 8601
 * @throws InputError "bad-request" when there is no such step or press
 */
export function stepsAfter(
  steps: readonly RunStep[],
  { index, act, at }: { index: number; act: string; at: string },
): RunStep[] {
  const pressed = steps[index];
  if (pressed === undefined) throw new InputError("bad-request", "There is no such step: load the page again.");
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
      throw new InputError("bad-request", "A step can be started, ended or set back, nothing else.");
  }
}
