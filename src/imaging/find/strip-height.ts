// How high a suspected strip is: as far as its step boundaries reach across it.
import { isWithin, valueAt, type Field } from "./smoothed-field.ts";
import type { StripFrame } from "./strip-frame.ts";

/** Widest look for the long edges, in strip heights from the middle. */
const widestLook = 3;
/**
 * What marks a boundary in one row across the strip, by how far to either side of it is looked, shares of the pitch:
 * the fall from step to step, well inside them and close by (past numbers printed in them), and a thin line, pale or
 * dark.
 */
const fallOffs = [0.35, 0.18];
const lineOff = 0.22;
/** A mark counts where it is this share as strong as the strongest. */
const leastMarkShare = 0.4;
/** The edge lies where a mark is weaker than this share of itself in the middle. */
const edgeShare = 0.5;

/** A boundary that was seen: its place along the strip, and the pitch there [small px]. */
interface SeenFall {
  readonly s: number;
  readonly pitch: number;
}

/**
 * Sets the height of the frame to where the step boundaries end across the strip.
 * @param falls places along the strip of seen boundaries, with the local pitch there
 */
export function heightFromBoundaries(field: Field, frame: StripFrame, falls: readonly SeenFall[]): StripFrame {
  const height = frame.bottom[0] - frame.top[0];
  const reach = Math.ceil(widestLook * height);
  const middle = (frame.bottom[0] + frame.top[0]) / 2;
  const quarter = Math.ceil(height / 4);
  const values = new Float64Array(falls.length);
  // How strong each mark is at an offset from the middle line, worked out when the walk outwards comes there.
  const profiles = [...fallOffs, lineOff].map((off, which) => {
    const isLine = which >= fallOffs.length;
    const known = new Float32Array(2 * reach + 1).fill(Number.NaN);
    const energyAt = (k: number): number => {
      if (Number.isNaN(known[k + reach]!)) {
        marksOfRow(values, field, frame, { falls, t: middle + k, off, isLine });
        known[k + reach] = middleOf(values, falls.length);
      }
      return known[k + reach]!;
    };
    const inner = Float64Array.from({ length: 2 * quarter + 1 }, (_, i) => energyAt(i - quarter));
    const core = middleOf(inner, inner.length);
    // Lines may be paler than the steps or darker; falls only fall.
    const sign = isLine && core < 0 ? -1 : 1;
    return { energyAt: (k: number) => sign * energyAt(k), core: sign * core };
  });
  const strongest = Math.max(...profiles.map(({ core }) => core));
  if (!(strongest > 0)) return frame;
  const kept = profiles.filter(({ core }) => core >= leastMarkShare * strongest);
  const edge = (direction: 1 | -1): number => {
    const ends = kept.map(({ energyAt, core }) => {
      let low = 0;
      for (let k = 0; Math.abs(k) <= reach; k += direction) {
        if (energyAt(k) < edgeShare * core) low++;
        else low = 0;
        // A short gap is a hair; a long one the edge.
        if (low > Math.max(2, 0.12 * height)) return Math.abs(k) - low + 0.5;
      }
      return reach;
    });
    return middle + direction * Math.max(...ends);
  };
  return { ...frame, top: [edge(-1), frame.top[1]], bottom: [edge(1), frame.bottom[1]] };
}

/** How strong one mark is at each boundary, in the row at a distance from the frame's axis; NaN outside the picture. */
function marksOfRow(
  values: Float64Array,
  field: Field,
  frame: StripFrame,
  {
    falls,
    t,
    off,
    isLine,
  }: { readonly falls: readonly SeenFall[]; readonly t: number; readonly off: number; readonly isLine: boolean },
): void {
  for (let i = 0; i < falls.length; i++) {
    const { s, pitch } = falls[i]!;
    const before = valueInside(field, frame, s - off * pitch, t);
    const after = valueInside(field, frame, s + off * pitch, t);
    values[i] = isLine ? valueInside(field, frame, s, t) - (before + after) / 2 : before - after;
  }
}

/** Value of a field at a place of the frame, leaning as boundaries do; NaN outside the picture. */
function valueInside(field: Field, frame: StripFrame, s: number, t: number): number {
  const leaned = s + (frame.lean[0] + frame.lean[1] * s) * t;
  const x = frame.originX + frame.alongX * leaned - frame.alongY * t;
  const y = frame.originY + frame.alongY * leaned + frame.alongX * t;
  return isWithin(field, x, y) ? valueAt(field, x, y) : Number.NaN;
}

/**
 * The middle value decides, so that a hair or a patch beside the strip has no say; what is outside is left out.
 * @param values the first `count` of them, which are put in order; asked for so often that nothing is copied
 */
function middleOf(values: Float64Array, count: number): number {
  let known = 0;
  for (let i = 0; i < count; i++) {
    const value = values[i]!;
    if (!Number.isFinite(value)) continue;
    let j = known++;
    for (; j > 0 && values[j - 1]! > value; j--) values[j] = values[j - 1]!;
    values[j] = value;
  }
  return known === 0 ? 0 : values[known >> 1]!;
}
