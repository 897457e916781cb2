// A place on a line of a supposed strip, and how far across the line it was seen.
import { acrossLine, type PlaceOf } from "./strip-shape.ts";

/** A place on a line of the strip that was seen this far across the line from where it was supposed. */
export interface Observation {
  readonly u: number;
  readonly v: number;
  readonly acrossX: number;
  readonly acrossY: number;
  readonly offPx: number;
  readonly sigmaPx: number;
  /** How much further out the edge of a pale step is seen than that of a dark one: -1 to 1 along an edge. */
  readonly spread: number;
}

/** How far from where it is supposed a line is looked for: at first, and when it is known well. */
export interface Reach {
  readonly boundarySteps: number;
  readonly endSteps: number;
  readonly edgeHeights: number;
}

/** What was seen at one place of a line instead of another. */
export function observed(
  placeOf: PlaceOf,
  line: "of u" | "of v",
  [u, v]: readonly [number, number],
  [seenU, seenV]: readonly [number, number],
  { sigmaPx, spread = 0 }: { readonly sigmaPx: number; readonly spread?: number },
): Observation {
  const [x, y] = placeOf(u, v);
  const [seenX, seenY] = placeOf(seenU, seenV);
  const [acrossX, acrossY] = acrossLine(placeOf, u, v, line);
  return { u, v, acrossX, acrossY, offPx: (seenX - x) * acrossX + (seenY - y) * acrossY, sigmaPx, spread };
}
