// What the clock of a step, or of a lamp that cools, shows when the page is made; script counts on from there.
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import type { StepState } from "#shared/prints/procedure.ts";

export interface ClockView {
  readonly left: string;
  readonly leftSpoken: string;
  readonly isOver: boolean;
}

/** Empty where nothing counts. */
export function clockView(state: StepState): ClockView {
  if (state.kind !== "running" && state.kind !== "paused") return { left: "", leftSpoken: "", isOver: false };
  const shown = state.leftSeconds ?? state.ranSeconds;
  return {
    left: formatDuration(Math.abs(shown)),
    leftSpoken: spokenDuration(Math.abs(Math.round(shown))),
    isOver: state.leftSeconds !== null && state.leftSeconds < 0,
  };
}
