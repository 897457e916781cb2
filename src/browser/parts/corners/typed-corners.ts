// Corners that were typed as numbers.
import type { Corners } from "#shared/schema/reading.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";

/** The corners, or null while a number is missing. */
export function typedCorners(typed: readonly (readonly number[])[]): Corners | null {
  const [a, b, c, d] = typed;
  if (a === undefined || b === undefined || c === undefined || d === undefined) return null;
  const corners = ofEachCorner([a, b, c, d], ([x = NaN, y = NaN]): [number, number] => [x, y]);
  return corners.flat().every(Number.isFinite) ? corners : null;
}
