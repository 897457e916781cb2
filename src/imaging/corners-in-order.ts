// Corners that were marked in another order than round the strip: the other way round, or row by row.
import { clockwiseFrom } from "#shared/reading/corners/clockwise.ts";
import { cornerTrouble } from "#shared/reading/corners/corner-trouble.ts";
import { ofEachCorner } from "#shared/reading/corners/each-corner.ts";
import type { Corners, Tablet } from "#shared/schema/reading.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import type { Raster } from "./decode/decode.ts";
import { darkFirst } from "./find-tablet.ts";
import { partRound, runsAcross } from "./marked-otherwise.ts";

export interface OrderedCorners {
  readonly corners: Corners;
  /** Number, from 1, that each of them had as it was marked. */
  readonly order: readonly [number, number, number, number];
}

/**
 * Corners put in order round the strip. The first one marked stays at the end of step 1; whether it lies at the top or
 * the bottom there, the picture tells by the way in which the steps run.
 * @param marked the four corners [px] in an order in which they cross or run anticlockwise
 * @returns null where they can be no strip in any order, or the picture does not plainly show how the steps run
 */
export function cornersInOrder(raster: Raster, marked: Corners, tablet: Tablet): OrderedCorners | null {
  const steps = stepInputs(tablet).length;
  const darkEnd = darkFirst(tablet);
  const round = clockwiseFrom(marked);
  if (darkEnd === null || round === null) return null;
  const [first, second, third, fourth] = round;
  const cornersOf = (order: typeof round): Corners => ofEachCorner(order, (k) => marked[k]!);
  const isStrip = (order: typeof round): boolean =>
    cornerTrouble(cornersOf(order), { width: raster.width, height: raster.height, steps }) === null;
  const { field, corners } = partRound(raster, cornersOf(round), darkEnd);
  const across = runsAcross(field, corners, steps);
  if (across === null) return null;
  const order: typeof round = across ? [second, third, fourth, first] : round;
  return isStrip(order) ? { corners: cornersOf(order), order: ofEachCorner(order, (k) => k + 1) } : null;
}
