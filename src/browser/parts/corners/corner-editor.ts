// Four handles over a picture: by taps, mouse, touch or keyboard, with zoom, a level view, a loupe and undo. It knows
// corners and boxes, not what is measured there.
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { cornerCount, holdHandle, makeHandles } from "./corner-handles.ts";
import { showInLoupe } from "./corner-loupe.ts";
import { isInside, middleOf, movedInside, numberedAs } from "./corner-moves.ts";
import { overlayShapes, type MeasuredBox, type NamedOutline } from "./corner-outline.ts";
import { tapping } from "./corner-taps.ts";
import { listenToTools, part } from "./corner-tools.ts";
import { handlePlaces } from "./handle-places.ts";
import { dragOutline } from "./outline-drag.ts";
import { listenToStage } from "./stage-fingers.ts";
import { levelTurn, turnedPicture, type TurnedPicture } from "./turned-picture.ts";
import { fitPart, fitView, panView, showPoint, zoomView, type Size, type ViewBox } from "./view-box.ts";

export interface CornerEditorOptions {
  readonly root: HTMLElement;
  readonly picture: { readonly width: number; readonly height: number };
  readonly corners: Corners;
  /** Steps to draw boxes for; null draws the outline alone. */
  readonly steps: number | null;
  /** A fifth handle that moves all four corners together. */
  readonly hasWhole?: boolean;
  /** How it begins: on the whole picture, on the strip laid level, or by asking for four taps. */
  readonly begins?: "whole" | "level" | "taps";
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
  /** Numbers the corners as those of another outline of the same place, where they lie. */
  numberedAs(like: Corners): void;
  /** Draws what was measured: its boxes instead of the reckoned ones, with flags on the strip. */
  showBoxes(boxes: readonly MeasuredBox[] | null): void;
}

/** Size of the letters on the picture, on the screen. */
const labelScreenPx = 16;
/** Greatest height of the stage, as a share of the window's. */
const stageHeightShare = 0.72;
/** Room round a strip laid level, for its handles [screen px], and at most this share of the stage. */
const levelRimPx = 84;
const levelRimShare = 0.14;

export function cornerEditor({
  root,
  picture,
  corners: first,
  steps: firstSteps,
  hasWhole = false,
  begins = "whole",
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
  let turned: TurnedPicture = turnedPicture(picture, 0);
  let view: ViewBox = { scale: 1, left: 0, top: 0 };
  /** What the view was last fitted to; it is fitted again when the window changes. */
  let fitted: "whole" | "level" | "none" = "whole";
  let measured: readonly MeasuredBox[] | null = null;
  const past: Corners[] = [];
  const handles = makeHandles(stage, picture.width, hasWhole);

  const stageSize = (): Size => ({ width: stage.clientWidth, height: stage.clientHeight });
  const onScreen = (point: PointPx): PointPx => {
    const [x, y] = turned.onPlane(point);
    return [view.left + x * view.scale, view.top + y * view.scale];
  };
  const onPicture = ([x, y]: PointPx): PointPx =>
    turned.onPicture([(x - view.left) / view.scale, (y - view.top) / view.scale]);
  const wayOnPicture = ([x, y]: PointPx): PointPx => turned.wayOnPicture([x / view.scale, y / view.scale]);
  /** The place that a handle moves: its corner, the fifth's the middle of them. */
  const movesAt = (index: number): PointPx => corners[index] ?? middleOf(corners);

  const taps = tapping({
    root,
    stage,
    placeOf: (event) => {
      const box = stage.getBoundingClientRect();
      const [x, y] = onPicture([event.clientX - box.left, event.clientY - box.top]);
      return [Math.min(Math.max(x, 0), picture.width), Math.min(Math.max(y, 0), picture.height)];
    },
    changed: () => draw(),
    done(tapped) {
      remember();
      corners = tapped;
      measured = null;
      showLevel();
      changed(corners, true);
      handles[0]?.focus({ preventScroll: true });
    },
  });

  function showWhole(): void {
    turned = turnedPicture(picture, 0);
    fitted = "whole";
    view = fitView(stageSize(), turned.plane);
    draw();
  }

  /** The strip level, its first step at the left, as large as the stage holds it with its handles. */
  function showLevel(): void {
    turned = turnedPicture(picture, levelTurn(corners));
    fitted = "level";
    const places = corners.map(turned.onPlane);
    const [xs, ys] = [places.map(([x]) => x), places.map(([, y]) => y)];
    const [left, top] = [Math.min(...xs), Math.min(...ys)];
    const strip = { left, top, width: Math.max(...xs) - left, height: Math.max(...ys) - top };
    view = fitPart(strip, Math.min(levelRimPx, levelRimShare * stage.clientWidth), stageSize(), turned.plane);
    draw();
  }

  function layOut(): void {
    const high = Math.min(stage.clientWidth * (picture.height / picture.width), window.innerHeight * stageHeightShare);
    stage.style.height = `${Math.max(220, Math.round(high))}px`;
    if (fitted === "level") showLevel();
    else showWhole();
  }

  function draw(): void {
    const [left, top] = onScreen([0, 0]);
    plane.style.width = `${picture.width * view.scale}px`;
    plane.style.height = `${picture.height * view.scale}px`;
    plane.style.transform = `translate(${left}px, ${top}px) rotate(${turned.radians}rad)`;
    stage.classList.toggle("zoomed", view.scale > fitView(stageSize(), turned.plane).scale * 1.001);
    const places = handlePlaces(corners.map(onScreen) as Corners, stageSize());
    handles.forEach((handle, index) => {
      const [x, y] = movesAt(index);
      handle.style.left = `${places[index]![0]}px`;
      handle.style.top = `${places[index]![1]}px`;
      handle.setAttribute("aria-valuenow", String(Math.round(x)));
      handle.setAttribute("aria-valuetext", `${Math.round(x)} across, ${Math.round(y)} down`);
    });
    drawOverlay(places);
  }

  function drawOverlay(places = handlePlaces(corners.map(onScreen) as Corners, stageSize())): void {
    const tapped = taps.soFar();
    overlay.replaceChildren(
      ...overlayShapes({
        outline: tapped === null ? { corners, steps, measured, leaders: places.map(onPicture) } : null,
        tapped: tapped ?? [],
        others,
        screenPx: 1 / view.scale,
        labelPx: labelScreenPx / view.scale,
      }),
    );
  }

  function remember(): void {
    past.push(corners);
    if (past.length > 200) past.shift();
    undoButton.disabled = false;
  }

  /** Moves one corner, or all of them by the fifth handle, and never out of the picture. */
  function move(index: number, by: PointPx, settled: boolean): void {
    corners = movedInside(corners, index < cornerCount ? index : null, by, picture);
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
    showInLoupe(loupe, image, {
      place: movesAt(index),
      picture,
      viewScale: view.scale,
      radians: turned.radians,
      isPlaceLeft: onScreen(movesAt(index))[0] < stage.clientWidth / 2,
    });
  }

  /** The view moves so that a handle's place is in sight. */
  function bringIntoSight(index: number): void {
    view = showPoint(view, turned.onPlane(movesAt(index)), stageSize(), turned.plane);
    draw();
    showLoupe(index);
  }

  function zoom(factor: number, x = stage.clientWidth / 2, y = stage.clientHeight / 2): void {
    view = zoomView(view, factor, x, y, stageSize(), turned.plane);
    draw();
  }

  /** The corners named anew, as the tablet is read from another side. */
  function renamed(order: readonly [number, number, number, number]): void {
    remember();
    const [a, b, c, d] = order.map((index) => corners[index]!);
    replaceAll([a!, b!, c!, d!]);
    if (fitted === "level") showLevel();
  }

  handles.forEach((handle, index) => {
    let start: PointPx = [0, 0];
    holdHandle(handle, {
      begins: remember,
      dragged(way) {
        const [wx, wy] = wayOnPicture(way);
        const [x, y] = movesAt(index);
        move(index, [start[0] + wx - x, start[1] + wy - y], false);
        showLoupe(index);
      },
      stepped(way) {
        move(index, turned.wayOnPicture(way), true);
        bringIntoSight(index);
      },
      settled: () => changed(corners, true),
      shown(isByKeyboard) {
        start = movesAt(index);
        if (isByKeyboard) bringIntoSight(index);
        else showLoupe(index);
      },
      left: () => void (loupe.hidden = true),
    });
  });
  dragOutline(stage, {
    isInside: (place) => taps.soFar() === null && isInside(corners, onPicture(place)),
    begins: remember,
    moved: (way) => move(cornerCount, wayOnPicture(way), false),
    settled: () => changed(corners, true),
  });
  listenToStage(stage, {
    panned(dx, dy) {
      view = panView(view, dx, dy, stageSize(), turned.plane);
      draw();
    },
    zoomed: zoom,
  });
  stage.classList.add("live");
  listenToTools(root, {
    zoomed: zoom,
    whole: showWhole,
    level: showLevel,
    taps: () => (showWhole(), taps.begin()),
    undo,
    renamed,
  });
  if (begins === "level") fitted = "level";
  if (begins === "taps") taps.begin();
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
    numberedAs(like) {
      corners = numberedAs(like, corners);
      if (fitted === "level") showLevel();
      else draw();
    },
    showBoxes(boxes) {
      measured = boxes;
      drawOverlay();
    },
  };
}
