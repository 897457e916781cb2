import type { SunFrame, SunFramePatch } from "#shared/schema/sun/frame.ts";
import { clockOfZone, isoInstant } from "#shared/sun/local-clock.ts";

/** What can be pressed on a frame's card. */
export type FramePress = "hide" | "back" | "in" | "out-again" | "undo-hidden" | "undo-turn";

export function isFramePress(text: string): text is FramePress {
  return ["hide", "back", "in", "out-again", "undo-hidden", "undo-turn"].includes(text);
}

/**
 * What a press changes of a frame.
 * @param atMs when it was pressed [ms of UTC]
 */
export function changesOfPress(frame: SunFrame, press: FramePress, atMs: number): SunFramePatch {
  const at = isoInstant(clockOfZone(frame.timeZone), atMs);
  const isHidden = frame.hidden.some(({ untilAt }) => untilAt === null);
  switch (press) {
    case "hide":
      return isHidden ? {} : { hidden: [...frame.hidden, { fromAt: at, untilAt: null }] };
    case "back":
      return { hidden: frame.hidden.map((each) => ({ ...each, untilAt: each.untilAt ?? at })) };
    case "in":
      return { endedAt: at };
    case "out-again":
      return { endedAt: null };
    case "undo-hidden":
      return { hidden: frame.hidden.slice(0, -1) };
    case "undo-turn":
      return { turns: frame.turns.slice(0, -1) };
  }
}
