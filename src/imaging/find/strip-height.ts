// How high a suspected strip is: as far as its step boundaries reach across it.
import { valueAt, type Field } from "./smoothed-field.ts";
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

/**
 * Sets the height of the frame to where the step boundaries end across the strip.
 * @param falls places along the strip of seen boundaries, with the local pitch there
 */
export function heightFromBoundaries(
  field: Field,
  frame: StripFrame,
  falls: readonly { readonly s: number; readonly pitch: number }[],
): StripFrame {
  const height = frame.bottom[0] - frame.top[0];
  const reach = Math.ceil(widestLook * height);
  const middle = (frame.bottom[0] + frame.top[0]) / 2;
  const at = (s: number, t: number) => {
    const leaned = s + (frame.lean[0] + frame.lean[1] * s) * t;
    const x = frame.originX + frame.alongX * leaned - frame.alongY * t;
    const y = frame.originY + frame.alongY * leaned + frame.alongX * t;
    return x < 1 || y < 1 || x > field.width - 1 || y > field.height - 1 ? Number.NaN : valueAt(field, x, y);
  };
  const marks: ((s: number, pitch: number, t: number) => number)[] = [
    ...fallOffs.map((off) => (s: number, pitch: number, t: number) => at(s - off * pitch, t) - at(s + off * pitch, t)),
    (s, pitch, t) => at(s, t) - (at(s - lineOff * pitch, t) + at(s + lineOff * pitch, t)) / 2,
  ];
  const quarter = Math.ceil(height / 4);
  const profiles = marks.map((mark, which) => {
    const energy = new Float32Array(2 * reach + 1);
    for (let k = -reach; k <= reach; k++)
      energy[k + reach] = middleOf(falls.map(({ s, pitch }) => mark(s, pitch, middle + k)));
    const core = middleOf(Array.from(energy.subarray(reach - quarter, reach + quarter + 1)));
    // Lines may be paler than the steps or darker; falls only fall.
    const isLine = which >= fallOffs.length;
    return {
      energy: isLine && core < 0 ? energy.map((value) => -value) : energy,
      core: isLine ? Math.abs(core) : core,
    };
  });
  const strongest = Math.max(...profiles.map(({ core }) => core));
  if (!(strongest > 0)) return frame;
  const kept = profiles.filter(({ core }) => core >= leastMarkShare * strongest);
  const edge = (direction: 1 | -1): number => {
    const ends = kept.map(({ energy, core }) => {
      let low = 0;
      for (let k = 0; Math.abs(k) <= reach; k += direction) {
        if (energy[k + reach]! < edgeShare * core) low++;
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

/** The middle value decides, so that a hair or a patch beside the strip has no say; what is outside is left out. */
function middleOf(values: readonly number[]): number {
  const known = values.filter((value) => Number.isFinite(value)).sort((a, b) => a - b);
  return known.length === 0 ? 0 : known[known.length >> 1]!;
}
