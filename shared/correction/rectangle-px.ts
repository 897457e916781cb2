/** A rectangle in whole pixels, from the top-left corner. */
export interface RectanglePx {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}
