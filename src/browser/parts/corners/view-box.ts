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

/** A part of the picture as large as the stage holds it, with room round it for handles. */
export function fitPart(
  part: { readonly left: number; readonly top: number; readonly width: number; readonly height: number },
  rimPx: number,
  stage: Size,
  picture: Size,
): ViewBox {
  const whole = fitView(stage, picture);
  const room = { width: Math.max(1, stage.width - 2 * rimPx), height: Math.max(1, stage.height - 2 * rimPx) };
  const wanted = Math.min(room.width / Math.max(part.width, 1), room.height / Math.max(part.height, 1));
  const scale = Math.min(Math.max(wanted, whole.scale), Math.max(greatestScale, whole.scale));
  if (scale === whole.scale) return whole;
  return keepInside(
    {
      scale,
      left: stage.width / 2 - (part.left + part.width / 2) * scale,
      top: stage.height / 2 - (part.top + part.height / 2) * scale,
    },
    stage,
    picture,
  );
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
