// How high a suspected strip is: as far as its step boundaries reach across it.
import { valueAt, type Field } from "./smoothed-field.ts";
import type { StripFrame } from "./strip-frame.ts";

/** Widest look for the long edges, in strip heights from the middle. */
const widestLook = 3;

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
  const energy = new Float32Array(2 * reach + 1);
  const at = (s: number, t: number) => {
    const leaned = s + (frame.lean[0] + frame.lean[1] * s) * t;
    const x = frame.originX + frame.alongX * leaned - frame.alongY * t;
    const y = frame.originY + frame.alongY * leaned + frame.alongX * t;
    return x < 1 || y < 1 || x > field.width - 1 || y > field.height - 1 ? Number.NaN : valueAt(field, x, y);
  };
  for (let k = -reach; k <= reach; k++) {
    // The middle boundary decides, so that a hair or a patch beside the strip has no say.
    const changes = falls
      .map(({ s, pitch }) => at(s - 0.35 * pitch, middle + k) - at(s + 0.35 * pitch, middle + k))
      .filter((change) => Number.isFinite(change))
      .sort((a, b) => a - b);
    energy[k + reach] = changes.length === 0 ? 0 : Math.max(0, changes[changes.length >> 1]!);
  }
  const core = Array.from(energy.subarray(reach - Math.ceil(height / 4), reach + Math.ceil(height / 4) + 1)).sort(
    (a, b) => a - b,
  );
  const inside = core[core.length >> 1]!;
  if (!(inside > 0)) return frame;
  const edge = (direction: 1 | -1): number => {
    let low = 0;
    for (let k = 0; Math.abs(k) <= reach; k += direction) {
      if (energy[k + reach]! < 0.5 * inside) low++;
      else low = 0;
      // A short gap is a hair; a long one the edge.
      if (low > Math.max(2, 0.12 * height)) return middle + k - direction * (low - 0.5);
    }
    return middle + direction * reach;
  };
  return { ...frame, top: [edge(-1), frame.top[1]], bottom: [edge(1), frame.bottom[1]] };
}
