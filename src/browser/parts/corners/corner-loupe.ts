// A loupe over the corner that is being moved, turned as the picture is.
import type { PointPx } from "#shared/schema/reading.ts";
import type { Size } from "./view-box.ts";

/** How much more the loupe enlarges than the view; never less than two screen pixels for one of the picture. */
const loupeZoom = 3;
const leastScale = 2;

/** Shows the picture's place in the loupe, on the side of the stage where the place is not. */
export function showInLoupe(
  loupe: HTMLElement,
  image: HTMLImageElement,
  {
    place,
    picture,
    viewScale,
    radians,
    isPlaceLeft,
  }: {
    readonly place: PointPx;
    readonly picture: Size;
    readonly viewScale: number;
    readonly radians: number;
    readonly isPlaceLeft: boolean;
  },
): void {
  const scale = Math.max(leastScale, viewScale * loupeZoom);
  loupe.hidden = false;
  const half = loupe.clientWidth / 2;
  loupe.style.backgroundImage = `url("${image.currentSrc || image.src}")`;
  loupe.style.backgroundSize = `${picture.width * scale}px ${picture.height * scale}px`;
  loupe.style.backgroundPosition = `${half - place[0] * scale}px ${half - place[1] * scale}px`;
  loupe.style.transform = `rotate(${radians}rad)`;
  const cross = loupe.firstElementChild;
  if (cross instanceof HTMLElement) cross.style.transform = `rotate(${-radians}rad)`;
  loupe.classList.toggle("right", isPlaceLeft);
  loupe.classList.toggle("left", !isPlaceLeft);
}
