// The colour of every place on the print: steps, surround, brushed edge, clouds, streaks, tooth, weave, table.
import { colourTable, type ColourTable, type Eye } from "./colour.ts";
import { seededRandom } from "./random.ts";
import { pigmentAt } from "./response.ts";
import { isInNumber } from "./numbers.ts";
import type { StripPrint } from "./scene.ts";
import { smoothTexture } from "./texture.ts";

export interface PrintSurface {
  readonly colours: ColourTable;
  readonly pigmentOfSteps: readonly number[];
  /**
   * Writes linear sRGB at a place [mm] to `out` from `at`. `even` leaves clouds, streaks and tooth out (weave stays).
   */
  colourAt(xMm: number, yMm: number, out: Float32Array, at: number, even?: boolean): void;
  /** The same for a given amount of pigment, wherever the place lies. */
  colourWith(pigment: number, xMm: number, yMm: number, out: Float32Array, at: number, even: boolean): void;
}

/** How far light creeps round an edge of the tablet or a boundary of two steps [mm]. */
const softEdgeMm = 0.12;
const dividerMm = 0.35;

export function printSurface(print: StripPrint, eye: Eye, seed: number): PrintSurface {
  const random = seededRandom(seed * 7 + 3);
  const clouds = smoothTexture(random, print.cloudMm);
  const streaks = smoothTexture(random, 60, 1.6);
  const tooth = smoothTexture(random, 0.28);
  const edge = smoothTexture(random, 3, 3);
  const threads = smoothTexture(random, 9);
  const { marks } = print;
  const lobes = smoothTexture(random, marks?.lobesMm ?? 3);
  const tableGrain = smoothTexture(random, marks?.tableGrain.lengthMm ?? 1, marks?.tableGrain.widthMm ?? 1);
  const colours = colourTable(print.pigment, eye);
  const { rgb } = colours;
  const steps = print.logH.map((logH) => pigmentAt(print.response, logH));
  const open = pigmentAt(print.response, Math.log10(print.exposureSeconds));
  const masked = pigmentAt(print.response, -20);
  const {
    lengthMm,
    widthMm,
    boundaries,
    brushMm,
    cloudShare,
    streakShare,
    toothShare,
    threadMm,
    weaveShare,
    weavePigmentShare,
  } = print;
  const [coatLeft, coatTop, coatRight, coatBottom] = print.coatedBorderMm;
  const [sheetLeft, sheetTop, sheetRight, sheetBottom] = print.sheetBorderMm;
  const cotton = print.support === "cotton";
  const brushed = brushMm > 0;
  const stepCount = steps.length;
  const divider = print.dividerPigmentShare;

  const colourWith = (amount: number, xMm: number, yMm: number, out: Float32Array, at: number, even: boolean): void => {
    let pigment = amount;
    let light = 1;
    if (!even) {
      if (pigment > 0) pigment *= 1 + cloudShare * clouds(xMm, yMm) + streakShare * streaks(xMm, yMm);
      light += toothShare * tooth(xMm, yMm);
    }
    if (cotton) {
      const wander = 0.35 * threads(xMm, yMm);
      const weave =
        Math.cos((2 * Math.PI * xMm) / threadMm + wander) * Math.cos((2 * Math.PI * yMm) / threadMm - wander);
      light *= 1 + weaveShare * (weave - 0.35 * weave * weave);
      pigment *= 1 - weavePigmentShare * weave;
    }
    const index = colours.indexOf(pigment);
    out[at] = rgb[index]! * light;
    out[at + 1] = rgb[index + 1]! * light;
    out[at + 2] = rgb[index + 2]! * light;
  };

  /** The step at a share of the strip's length; its boundaries lie near even ones. */
  const stepAt = (share: number): number => {
    let step = Math.min(stepCount - 1, Math.max(0, Math.floor(share * stepCount)));
    while (step > 0 && share < boundaries[step]!) step--;
    while (step < stepCount - 1 && share >= boundaries[step + 1]!) step++;
    return step;
  };

  /** Pigment of the strip at a place inside it. */
  const stepPigment = (xMm: number): number => {
    const share = xMm / lengthMm;
    const step = stepAt(share);
    const here = steps[step]!;
    const fromStart = xMm - boundaries[step]! * lengthMm;
    const toEnd = boundaries[step + 1]! * lengthMm - xMm;
    const line = marks?.line ?? null;
    if (line !== null && Math.min(fromStart, toEnd) < line.widthMm / 2 && !isOuterEnd(step, fromStart, toEnd))
      return print.response.most * line.pigmentShare;
    // The strip's own ends are no boundary to another step.
    const beforeMm = step > 0 ? fromStart : Infinity;
    const afterMm = step < stepCount - 1 ? toEnd : Infinity;
    if (divider !== null && Math.min(beforeMm, afterMm) < dividerMm / 2) return here * divider;
    if (beforeMm < softEdgeMm) return here + (steps[step - 1]! - here) * (0.5 - (0.5 * fromStart) / softEdgeMm);
    if (afterMm < softEdgeMm) return here + (steps[step + 1]! - here) * (0.5 - (0.5 * toEnd) / softEdgeMm);
    return here;
  };

  const isOuterEnd = (step: number, fromStart: number, toEnd: number): boolean =>
    (step === 0 && fromStart <= toEnd) || (step === stepCount - 1 && toEnd < fromStart);

  const isNumber = (xMm: number, yMm: number): boolean => {
    const numbers = marks?.numbers ?? null;
    if (numbers === null) return false;
    const step = Math.min(stepCount - 1, Math.floor((xMm / lengthMm) * stepCount));
    const heightMm = Math.min(numbers.heightShare * widthMm, (0.8 * lengthMm) / stepCount);
    const topMm = numbers.across * (widthMm - 1.6 * heightMm) + 0.3 * heightMm;
    const middleMm = ((step + 0.5) / stepCount) * lengthMm;
    return isInNumber(step + 1, (xMm - middleMm) / heightMm, (yMm - topMm) / heightMm);
  };

  const tableAt = (xMm: number, yMm: number, out: Float32Array, at: number): void => {
    const grid = marks?.grid ?? null;
    const onLine =
      grid !== null &&
      (Math.abs(xMm - grid.spacingMm * Math.round(xMm / grid.spacingMm)) < 0.15 ||
        Math.abs(yMm - grid.spacingMm * Math.round(yMm / grid.spacingMm)) < 0.15);
    const rgb = onLine ? grid.rgb : print.tableRgb;
    const grain =
      marks === undefined ? 1 + 0.05 * edge(xMm * 0.3, yMm) : 1 + marks.tableGrain.share * tableGrain(xMm, yMm);
    out[at] = rgb[0] * grain;
    out[at + 1] = rgb[1] * grain;
    out[at + 2] = rgb[2] * grain;
  };

  const colourAt = (xMm: number, yMm: number, out: Float32Array, at: number, even = false): void => {
    if (xMm < -sheetLeft || yMm < -sheetTop || xMm > lengthMm + sheetRight || yMm > widthMm + sheetBottom) {
      tableAt(xMm, yMm, out, at);
      return;
    }
    if (xMm >= 0 && yMm >= 0 && xMm <= lengthMm && yMm <= widthMm) {
      colourWith(isNumber(xMm, yMm) ? masked : stepPigment(xMm), xMm, yMm, out, at, even);
      return;
    }
    colourWith(print.surround === "white" ? masked : coatPigment(xMm, yMm), xMm, yMm, out, at, even);
  };

  /** Pigment of the coating beside the strip. */
  const coatPigment = (xMm: number, yMm: number): number => {
    // Distance to the coating's edge, positive inside; a brush leaves it ragged and fading.
    const inside = Math.min(xMm + coatLeft, yMm + coatTop, lengthMm + coatRight - xMm, widthMm + coatBottom - yMm);
    if (!brushed) return inside > 0 ? open : 0;
    if (inside > 4 * brushMm) return open;
    const wander = marks?.lobesMm == null ? edge(xMm * (xMm < 0 || xMm > lengthMm ? 0.35 : 1), yMm) : lobes(xMm, yMm);
    const ragged = inside + brushMm * wander;
    return ragged <= 0 ? 0 : open * Math.min(1, ragged / 0.6);
  };

  return { colours, pigmentOfSteps: steps, colourAt, colourWith };
}
