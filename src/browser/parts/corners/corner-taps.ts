// Marking a tablet by tapping its four corners in order: the way to begin where nothing was found.
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { cornersOfTaps } from "./corner-moves.ts";

/** What is asked for, one tap after the other. */
const tapWords = [
  "Tap corner 1 of 4: top left of the tablet, at the end of step 1.",
  "Tap corner 2 of 4: top right, at the end of the last step.",
  "Tap corner 3 of 4: bottom right, below corner 2.",
  "Tap corner 4 of 4: bottom left, below corner 1.",
] as const;

/** A press that moves further than this is no tap [screen px]. */
const mostMovePx = 10;

/** Calls for each tap of one finger or the mouse. */
function onTap(stage: HTMLElement, tapped: (event: PointerEvent) => void): void {
  let from: { id: number; x: number; y: number } | null = null;
  stage.addEventListener("pointerdown", (event) => {
    from = event.isPrimary && event.button === 0 ? { id: event.pointerId, x: event.clientX, y: event.clientY } : null;
  });
  stage.addEventListener("pointerup", (event) => {
    const isTap =
      from?.id === event.pointerId && Math.hypot(event.clientX - from.x, event.clientY - from.y) <= mostMovePx;
    from = null;
    if (isTap) tapped(event);
  });
}

export interface Tapping {
  /** The corners tapped so far; null while none are asked for. */
  readonly soFar: () => readonly PointPx[] | null;
  begin(): void;
}

/**
 * Asks for four taps in words, where the page has a place for them (`data-tap-ask`, `data-tap-words`, `data-tap-skip`).
 */
export function tapping({
  root,
  stage,
  placeOf,
  changed,
  done,
}: {
  readonly root: HTMLElement;
  readonly stage: HTMLElement;
  readonly placeOf: (event: PointerEvent) => PointPx;
  readonly changed: () => void;
  readonly done: (corners: Corners) => void;
}): Tapping {
  const ask = root.querySelector<HTMLElement>("[data-tap-ask]");
  const words = root.querySelector<HTMLElement>("[data-tap-words]");
  let taps: PointPx[] | null = null;

  function show(): void {
    stage.classList.toggle("tapping", taps !== null);
    if (ask !== null) ask.hidden = taps === null;
    if (words !== null) words.textContent = taps === null ? "" : (tapWords[taps.length] ?? "");
    changed();
  }

  root.querySelector<HTMLButtonElement>("[data-tap-skip]")?.addEventListener("click", () => {
    taps = null;
    show();
  });
  onTap(stage, (event) => {
    if (taps === null) return;
    taps = [...taps, placeOf(event)];
    const [a, b, c, d] = taps;
    if (a !== undefined && b !== undefined && c !== undefined && d !== undefined) {
      taps = null;
      show();
      done(cornersOfTaps([a, b, c, d]));
    } else show();
  });
  return {
    soFar: () => taps,
    begin() {
      if (ask === null) return;
      taps = [];
      show();
    },
  };
}
