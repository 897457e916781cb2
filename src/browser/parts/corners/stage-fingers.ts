// Fingers, mouse and wheel on the stage of a picture: one finger or the mouse pans, two fingers pinch, the wheel zooms.

export interface StageMoves {
  readonly panned: (dx: number, dy: number) => void;
  /** Zoom by a factor about a place of the stage [screen px]. */
  readonly zoomed: (factor: number, x: number, y: number) => void;
}

interface Span {
  readonly distance: number;
  readonly x: number;
  readonly y: number;
}

function spanOf(fingers: readonly { readonly x: number; readonly y: number }[]): Span {
  const [a, b] = fingers;
  if (a === undefined || b === undefined) return { distance: 0, x: a?.x ?? 0, y: a?.y ?? 0 };
  return { distance: Math.hypot(a.x - b.x, a.y - b.y), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

export function listenToStage(stage: HTMLElement, { panned, zoomed }: StageMoves): void {
  const fingers = new Map<number, { x: number; y: number }>();
  stage.addEventListener("pointerdown", (event) => {
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (event.pointerType === "mouse" || fingers.size === 2) stage.setPointerCapture(event.pointerId);
    stage.classList.add("panning");
  });
  stage.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    const before = spanOf([...fingers.values()]);
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    const after = spanOf([...fingers.values()]);
    const box = stage.getBoundingClientRect();
    if (before.distance > 0 && after.distance > 0)
      zoomed(after.distance / before.distance, after.x - box.left, after.y - box.top);
    // While the outline is moved the picture stays where it is.
    if (!stage.classList.contains("moving")) panned(after.x - before.x, after.y - before.y);
  });
  const lift = (event: PointerEvent): void => {
    fingers.delete(event.pointerId);
    if (fingers.size === 0) stage.classList.remove("panning");
  };
  stage.addEventListener("pointerup", lift);
  stage.addEventListener("pointercancel", lift);
  stage.addEventListener(
    "wheel",
    (event) => {
      if (!event.ctrlKey && !stage.classList.contains("zoomed") && !stage.contains(document.activeElement)) return;
      event.preventDefault();
      const box = stage.getBoundingClientRect();
      zoomed(Math.exp(-event.deltaY / (event.ctrlKey ? 100 : 400)), event.clientX - box.left, event.clientY - box.top);
    },
    { passive: false },
  );
}
