// Which part of a picture is on screen: scale and offset, with zoom about a point and panning that never loses the
// picture.

export interface ViewBox {
  /** Screen pixels per picture pixel. */
  readonly scale: number;
  /** Screen position of the picture's top-left corner, pixels. */
  readonly left: number;
  readonly top: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Greatest zoom: so many screen pixels for one picture pixel. */
const greatestScale = 6;

/** The whole picture in the middle of the stage. */
export function fitView(stage: Size, picture: Size): ViewBox {
  const scale = Math.min(stage.width / picture.width, stage.height / picture.height);
  return { scale, left: (stage.width - picture.width * scale) / 2, top: (stage.height - picture.height * scale) / 2 };
}

/** Zooms by a factor so that the picture point under (x, y) stays there. */
export function zoomView(view: ViewBox, factor: number, x: number, y: number, stage: Size, picture: Size): ViewBox {
  const fit = fitView(stage, picture);
  const scale = Math.min(Math.max(view.scale * factor, fit.scale), Math.max(greatestScale, fit.scale));
  if (scale === fit.scale) return fit;
  return keepInside(
    { scale, left: x - ((x - view.left) / view.scale) * scale, top: y - ((y - view.top) / view.scale) * scale },
    stage,
    picture,
  );
}

export function panView(view: ViewBox, dx: number, dy: number, stage: Size, picture: Size): ViewBox {
  return keepInside({ ...view, left: view.left + dx, top: view.top + dy }, stage, picture);
}

/** How far a place must move to lie between two bounds; 0 when it does. */
function inward(at: number, low: number, high: number): number {
  if (at < low) return low - at;
  return at > high ? high - at : 0;
}

/** Moves the view so that a picture point lies well inside the stage. */
export function showPoint(view: ViewBox, point: readonly [number, number], stage: Size, picture: Size): ViewBox {
  const rim = 40;
  const x = view.left + point[0] * view.scale;
  const y = view.top + point[1] * view.scale;
  const dx = inward(x, rim, stage.width - rim);
  const dy = inward(y, rim, stage.height - rim);
  return dx === 0 && dy === 0 ? view : panView(view, dx, dy, stage, picture);
}

function keepInside(view: ViewBox, stage: Size, picture: Size): ViewBox {
  return {
    scale: view.scale,
    left: keep(view.left, stage.width, picture.width * view.scale),
    top: keep(view.top, stage.height, picture.height * view.scale),
  };
}

/** A side that is smaller than the stage is centred; a larger one leaves no gap. */
function keep(offset: number, stage: number, picture: number): number {
  return picture <= stage ? (stage - picture) / 2 : Math.min(0, Math.max(stage - picture, offset));
}
