// The handles of the corner editor: made, dragged, and moved by arrow keys.
import type { PointPx } from "#shared/schema/reading.ts";

export const cornerCount = 4;
const wholeWords = "All four corners together";
const handleWords = [
  "Corner 1, top left of the tablet",
  "Corner 2, top right",
  "Corner 3, bottom right",
  "Corner 4, bottom left",
] as const;
/** Pixels of the picture that an arrow key moves a handle by, alone and with Shift. */
const keyStep = 1;
const fastKeyStep = 20;

const arrows: Readonly<Record<string, PointPx>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Handles on a stage: one for each corner, and one for all of them where it is wished. */
export function makeHandles(stage: HTMLElement, pictureWidth: number, hasWhole: boolean): HTMLButtonElement[] {
  return [...handleWords, ...(hasWhole ? [wholeWords] : [])].map((words, index) => {
    const handle = document.createElement("button");
    handle.type = "button";
    handle.className = "corner-handle";
    handle.dataset.handle = String(index);
    handle.setAttribute("role", "slider");
    handle.setAttribute("aria-label", words);
    handle.setAttribute("aria-valuemin", "0");
    handle.setAttribute("aria-valuemax", String(pictureWidth));
    const number = document.createElement("span");
    if (index < cornerCount) number.textContent = String(index + 1);
    else handle.classList.add("whole");
    number.setAttribute("aria-hidden", "true");
    handle.append(number);
    stage.append(handle);
    return handle;
  });
}

export interface HandleMoves {
  /** A move begins that can be taken back. */
  readonly begins: () => void;
  /** So far from where the drag began [screen px]. */
  readonly dragged: (way: PointPx) => void;
  /** One press of an arrow key [px of the picture, in the screen's directions]. */
  readonly stepped: (way: PointPx) => void;
  /** The drag ends. */
  readonly settled: () => void;
  /** The handle is held, or shown by the keyboard; then it is let go. */
  readonly shown: (isByKeyboard: boolean) => void;
  readonly left: () => void;
}

/** Listens to one handle. */
export function holdHandle(handle: HTMLButtonElement, moves: HandleMoves): void {
  handle.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    event.stopPropagation();
    handle.focus({ preventScroll: true });
    handle.setPointerCapture(event.pointerId);
    const from = { x: event.clientX, y: event.clientY };
    let hasMoved = false;
    handle.classList.add("held");
    moves.shown(false);
    const drag = (moved: PointerEvent): void => {
      if (!hasMoved) moves.begins();
      hasMoved = true;
      moves.dragged([moved.clientX - from.x, moved.clientY - from.y]);
    };
    const letGo = (): void => {
      handle.removeEventListener("pointermove", drag);
      handle.removeEventListener("pointerup", letGo);
      handle.removeEventListener("pointercancel", letGo);
      handle.classList.remove("held");
      moves.left();
      if (hasMoved) moves.settled();
    };
    handle.addEventListener("pointermove", drag);
    handle.addEventListener("pointerup", letGo);
    handle.addEventListener("pointercancel", letGo);
  });
  handle.addEventListener("keydown", (event) => {
    const arrow = arrows[event.key];
    if (arrow === undefined) return;
    event.preventDefault();
    // A held-down key is one move to take back.
    if (!event.repeat) moves.begins();
    const size = event.shiftKey ? fastKeyStep : keyStep;
    moves.stepped([arrow[0] * size, arrow[1] * size]);
  });
  handle.addEventListener("focus", () => {
    if (handle.matches(":focus-visible")) moves.shown(true);
  });
  handle.addEventListener("blur", () => moves.left());
}
