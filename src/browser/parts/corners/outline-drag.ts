// Dragging inside the outline moves it whole: by mouse or one finger; a second finger pinches as ever.
import type { PointPx } from "#shared/schema/reading.ts";

export interface OutlineDrag {
  /** Whether a place of the stage [screen px] lies inside the outline, and it may be moved. */
  readonly isInside: (place: PointPx) => boolean;
  /** A move begins that can be taken back. */
  readonly begins: () => void;
  /** So far on from the last call [screen px]. */
  readonly moved: (way: PointPx) => void;
  readonly settled: () => void;
}

/** Fewest screen pixels that are a drag and no tap. */
const leastDragPx = 4;

/** Listens to the stage before whatever pans it: a drag that begins inside the outline is not a pan. */
export function dragOutline(stage: HTMLElement, drag: OutlineDrag): void {
  let held: { readonly pointer: number; from: PointPx; hasMoved: boolean } | null = null;
  const letGo = (event: PointerEvent): void => {
    if (held?.pointer !== event.pointerId) return;
    if (held.hasMoved) drag.settled();
    held = null;
    stage.classList.remove("moving");
  };
  stage.addEventListener(
    "pointerdown",
    (event) => {
      // A second finger makes a pinch of it.
      if (held !== null) {
        if (held.hasMoved) drag.settled();
        held = null;
        stage.classList.remove("moving");
        return;
      }
      if (event.button !== 0 || (event.target instanceof Element && event.target.closest("button") !== null)) return;
      const box = stage.getBoundingClientRect();
      if (!drag.isInside([event.clientX - box.left, event.clientY - box.top])) return;
      held = { pointer: event.pointerId, from: [event.clientX, event.clientY], hasMoved: false };
      if (event.pointerType === "mouse") stage.setPointerCapture(event.pointerId);
    },
    { capture: true },
  );
  stage.addEventListener(
    "pointermove",
    (event) => {
      if (held?.pointer !== event.pointerId) return;
      const way: PointPx = [event.clientX - held.from[0], event.clientY - held.from[1]];
      if (!held.hasMoved && Math.hypot(...way) < leastDragPx) return;
      if (!held.hasMoved) {
        drag.begins();
        stage.classList.add("moving");
      }
      held.hasMoved = true;
      held.from = [event.clientX, event.clientY];
      drag.moved(way);
    },
    { capture: true },
  );
  stage.addEventListener("pointerup", letGo, { capture: true });
  stage.addEventListener("pointercancel", letGo, { capture: true });
}
