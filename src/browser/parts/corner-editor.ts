// Four handles over a picture: by mouse, touch or keyboard, with zoom, a loupe and undo. It knows corners and boxes,
// not what is measured there.
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { middleOf, movedInside } from "./corner-moves.ts";
import { overlayShapes, type MeasuredBox, type NamedOutline } from "./corner-outline.ts";
import { fitView, panView, showPoint, zoomView, type ViewBox } from "./view-box.ts";

export interface CornerEditorOptions {
  readonly root: HTMLElement;
  readonly picture: { readonly width: number; readonly height: number };
  readonly corners: Corners;
  /** Steps to draw boxes for; null draws the outline alone. */
  readonly steps: number | null;
  /** A fifth handle that moves all four corners together. */
  readonly hasWhole?: boolean;
  /** Called at every move; `settled` when a drag ends, an arrow key is pressed or a move is taken back. */
  readonly changed: (corners: Corners, settled: boolean) => void;
}

export interface CornerEditor {
  readonly corners: () => Corners;
  setCorners(corners: Corners): void;
  /**
   * Turns to another outline of the same picture; the rest are drawn faintly, each with its name. Moves made before
   * cannot be taken back.
   */
  turnTo(shown: {
    readonly corners: Corners;
    readonly steps: number | null;
    readonly others: readonly NamedOutline[];
  }): void;
  /** Draws what was measured: its boxes instead of the reckoned ones, with flags on the strip. */
  showBoxes(boxes: readonly MeasuredBox[] | null): void;
}

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
const zoomStep = 1.5;
/** How much more the loupe enlarges than the view; never less than two screen pixels for one of the picture. */
const loupeZoom = 3;
/** Size of the letters on the picture, on the screen. */
const labelScreenPx = 16;
/** Greatest height of the stage, as a share of the window's. */
const stageHeightShare = 0.72;

function part<Kind extends Element>(root: HTMLElement, name: string): Kind {
  const found = root.querySelector<Kind>(`[data-${name}]`);
  if (found === null) throw new TypeError(`The corner editor misses its part "${name}".`);
  return found;
}

export function cornerEditor({
  root,
  picture,
  corners: first,
  steps: firstSteps,
  hasWhole = false,
  changed,
}: CornerEditorOptions): CornerEditor {
  const stage = part<HTMLElement>(root, "stage");
  const plane = part<HTMLElement>(root, "plane");
  const image = part<HTMLImageElement>(root, "picture");
  const overlay = part<SVGSVGElement>(root, "overlay");
  const loupe = part<HTMLElement>(root, "loupe");
  const undoButton = part<HTMLButtonElement>(root, "undo");

  let corners: Corners = first;
  let steps = firstSteps;
  let others: readonly NamedOutline[] = [];
  let view: ViewBox = { scale: 1, left: 0, top: 0 };
  let measured: readonly MeasuredBox[] | null = null;
  const past: Corners[] = [];

  const handles = [...handleWords, ...(hasWhole ? [wholeWords] : [])].map((words, index) => {
    const handle = document.createElement("button");
    handle.type = "button";
    handle.className = "corner-handle";
    handle.dataset.handle = String(index);
    handle.setAttribute("role", "slider");
    handle.setAttribute("aria-label", words);
    handle.setAttribute("aria-valuemin", "0");
    handle.setAttribute("aria-valuemax", String(picture.width));
    const number = document.createElement("span");
    if (index < handleWords.length) number.textContent = String(index + 1);
    else handle.classList.add("whole");
    number.setAttribute("aria-hidden", "true");
    handle.append(number);
    stage.append(handle);
    return handle;
  });

  /** Where a handle stands: on its corner, the fifth in the middle of them. */
  const standsAt = (index: number): PointPx => corners[index] ?? middleOf(corners);

  const stageSize = (): { width: number; height: number } => ({ width: stage.clientWidth, height: stage.clientHeight });

  function layOut(): void {
    const fitted = Math.min(
      stage.clientWidth * (picture.height / picture.width),
      window.innerHeight * stageHeightShare,
    );
    stage.style.height = `${Math.max(220, Math.round(fitted))}px`;
    view = fitView(stageSize(), picture);
    draw();
  }

  function draw(): void {
    plane.style.width = `${picture.width * view.scale}px`;
    plane.style.height = `${picture.height * view.scale}px`;
    plane.style.transform = `translate(${view.left}px, ${view.top}px)`;
    stage.classList.toggle("zoomed", view.scale > fitView(stageSize(), picture).scale * 1.001);
    handles.forEach((handle, index) => {
      const [x, y] = standsAt(index);
      handle.style.left = `${view.left + x * view.scale}px`;
      handle.style.top = `${view.top + y * view.scale}px`;
      handle.setAttribute("aria-valuenow", String(Math.round(x)));
      handle.setAttribute("aria-valuetext", `${Math.round(x)} across, ${Math.round(y)} down`);
    });
    drawOverlay();
  }

  function drawOverlay(): void {
    overlay.replaceChildren(
      ...overlayShapes({ corners, steps, others, measured, labelPx: labelScreenPx / view.scale }),
    );
  }

  function remember(): void {
    past.push(corners);
    if (past.length > 200) past.shift();
    undoButton.disabled = false;
  }

  /** Moves one corner, or all of them by the fifth handle, and never out of the picture. */
  function move(index: number, to: PointPx, settled: boolean): void {
    const from = standsAt(index);
    corners = movedInside(
      corners,
      index < handleWords.length ? index : null,
      [to[0] - from[0], to[1] - from[1]],
      picture,
    );
    measured = null;
    draw();
    changed(corners, settled);
  }

  function replaceAll(next: Corners): void {
    corners = next;
    measured = null;
    draw();
    changed(corners, true);
  }

  function undo(): void {
    const before = past.pop();
    if (before === undefined) return;
    undoButton.disabled = past.length === 0;
    replaceAll(before);
  }

  function showLoupe(index: number): void {
    const [x, y] = standsAt(index);
    const scale = Math.max(2, view.scale * loupeZoom);
    const half = loupe.clientWidth / 2;
    loupe.hidden = false;
    loupe.style.backgroundImage = `url("${image.currentSrc || image.src}")`;
    loupe.style.backgroundSize = `${picture.width * scale}px ${picture.height * scale}px`;
    loupe.style.backgroundPosition = `${half - x * scale}px ${half - y * scale}px`;
    const isLeft = view.left + x * view.scale < stage.clientWidth / 2;
    loupe.classList.toggle("right", isLeft);
    loupe.classList.toggle("left", !isLeft);
  }

  function holdHandle(handle: HTMLButtonElement, index: number): void {
    handle.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      event.stopPropagation();
      handle.focus({ preventScroll: true });
      handle.setPointerCapture(event.pointerId);
      const start = standsAt(index);
      const from = { x: event.clientX, y: event.clientY };
      let hasMoved = false;
      handle.classList.add("held");
      showLoupe(index);
      const drag = (moved: PointerEvent): void => {
        if (!hasMoved) remember();
        hasMoved = true;
        move(
          index,
          [start[0] + (moved.clientX - from.x) / view.scale, start[1] + (moved.clientY - from.y) / view.scale],
          false,
        );
        showLoupe(index);
      };
      const letGo = (): void => {
        handle.removeEventListener("pointermove", drag);
        handle.removeEventListener("pointerup", letGo);
        handle.removeEventListener("pointercancel", letGo);
        handle.classList.remove("held");
        loupe.hidden = true;
        if (hasMoved) changed(corners, true);
      };
      handle.addEventListener("pointermove", drag);
      handle.addEventListener("pointerup", letGo);
      handle.addEventListener("pointercancel", letGo);
    });
    handle.addEventListener("keydown", (event) => {
      const size = event.shiftKey ? fastKeyStep : keyStep;
      const steps: Readonly<Record<string, readonly [number, number]>> = {
        ArrowLeft: [-size, 0],
        ArrowRight: [size, 0],
        ArrowUp: [0, -size],
        ArrowDown: [0, size],
      };
      const step = steps[event.key];
      if (step === undefined) return;
      event.preventDefault();
      // A held-down key is one move to take back.
      if (!event.repeat) remember();
      const [x, y] = standsAt(index);
      move(index, [x + step[0], y + step[1]], true);
      view = showPoint(view, standsAt(index), stageSize(), picture);
      draw();
      showLoupe(index);
    });
    handle.addEventListener("focus", () => {
      if (!handle.matches(":focus-visible")) return;
      view = showPoint(view, standsAt(index), stageSize(), picture);
      draw();
      showLoupe(index);
    });
    handle.addEventListener("blur", () => {
      loupe.hidden = true;
    });
  }

  function zoom(factor: number, x = stage.clientWidth / 2, y = stage.clientHeight / 2): void {
    view = zoomView(view, factor, x, y, stageSize(), picture);
    draw();
  }

  /** One finger or the mouse pans, two fingers pinch. */
  function panAndPinch(): void {
    const fingers = new Map<number, { x: number; y: number }>();
    const span = (): { distance: number; x: number; y: number } => {
      const [a, b] = [...fingers.values()];
      if (a === undefined || b === undefined) return { distance: 0, x: a?.x ?? 0, y: a?.y ?? 0 };
      return { distance: Math.hypot(a.x - b.x, a.y - b.y), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    };
    stage.addEventListener("pointerdown", (event) => {
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      if (event.pointerType === "mouse" || fingers.size === 2) stage.setPointerCapture(event.pointerId);
      stage.classList.add("panning");
    });
    stage.addEventListener("pointermove", (event) => {
      if (!fingers.has(event.pointerId)) return;
      const before = span();
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      const after = span();
      const box = stage.getBoundingClientRect();
      if (before.distance > 0 && after.distance > 0)
        view = zoomView(
          view,
          after.distance / before.distance,
          after.x - box.left,
          after.y - box.top,
          stageSize(),
          picture,
        );
      view = panView(view, after.x - before.x, after.y - before.y, stageSize(), picture);
      draw();
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
        zoom(Math.exp(-event.deltaY / (event.ctrlKey ? 100 : 400)), event.clientX - box.left, event.clientY - box.top);
      },
      { passive: false },
    );
  }

  handles.forEach(holdHandle);
  panAndPinch();
  stage.classList.add("live");
  part<HTMLElement>(root, "tools").hidden = false;
  part<HTMLElement>(root, "key-help").hidden = false;
  part<HTMLButtonElement>(root, "zoom-in").addEventListener("click", () => zoom(zoomStep));
  part<HTMLButtonElement>(root, "zoom-out").addEventListener("click", () => zoom(1 / zoomStep));
  part<HTMLButtonElement>(root, "zoom-fit").addEventListener("click", () => {
    view = fitView(stageSize(), picture);
    draw();
  });
  undoButton.addEventListener("click", undo);
  part<HTMLButtonElement>(root, "other-end").addEventListener("click", () => {
    remember();
    const [a, b, c, d] = corners;
    replaceAll([c, d, a, b]);
  });
  part<HTMLButtonElement>(root, "quarter").addEventListener("click", () => {
    remember();
    const [a, b, c, d] = corners;
    replaceAll([b, c, d, a]);
  });
  root.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "z") {
      event.preventDefault();
      undo();
    } else if (event.key === "+" || event.key === "=") zoom(zoomStep);
    else if (event.key === "-") zoom(1 / zoomStep);
  });
  new ResizeObserver(() => layOut()).observe(root);
  layOut();

  return {
    corners: () => corners,
    setCorners(next) {
      remember();
      replaceAll(next);
    },
    turnTo(shown) {
      ({ corners, steps, others } = shown);
      measured = null;
      past.length = 0;
      undoButton.disabled = true;
      draw();
    },
    showBoxes(boxes) {
      measured = boxes;
      drawOverlay();
    },
  };
}
