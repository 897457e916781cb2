// The tone of one reference patch in the frame: as far round its middle as the tone stays, robust against hairs.
import { middleAndSpread } from "#shared/statistics/robust.ts";
import { medianInPlace } from "#shared/statistics/value-at-rank.ts";
import type { PointPx } from "#shared/schema/reading.ts";
import type { Raster } from "#src/imaging/decode/decode.ts";

/** Rings looked at round the middle of a patch [px]. */
const ringRadii = [4, 6, 8, 11, 15, 20, 27, 36, 48, 64, 90, 120];
/** The tone of the patch is that of its middle [px]; a hair there is outvoted. */
const coreRadius = 5;
/** A ring belongs to the patch while its codes stay within this share of the scale. */
const sameToneShare = 0.035;
/** Share of the patch's own size that is measured: its edges are blurred. */
const usedShare = 0.65;

export interface KnownPatch {
  /** Density above bare white, as it looks from above. */
  readonly density: number;
  readonly at: PointPx;
  /** How far what is not known of all patches together moves the natural logarithm of the light on this one. */
  readonly errors: readonly number[];
}

export interface MeasuredPatch extends KnownPatch {
  readonly codes: readonly (readonly number[])[];
}

/** Codes of a disc, channel by channel. */
function codesOfDisc(raster: Raster, [x, y]: PointPx, inner: number, outer: number): number[][] {
  const codes: number[][] = Array.from({ length: raster.channels }, () => []);
  for (let py = Math.max(0, Math.floor(y - outer)); py <= Math.min(raster.height - 1, y + outer); py++) {
    for (let px = Math.max(0, Math.floor(x - outer)); px <= Math.min(raster.width - 1, x + outer); px++) {
      const r = Math.hypot(px + 0.5 - x, py + 0.5 - y);
      if (r < inner || r > outer) continue;
      for (let c = 0; c < raster.channels; c++)
        codes[c]!.push(raster.data[(py * raster.width + px) * raster.channels + c]!);
    }
  }
  return codes;
}

const middle = (values: readonly number[]) => medianInPlace(Float64Array.from(values));

/** Measures one patch by growing from its middle as long as the tone stays. */
export function measurePatch(raster: Raster, patch: KnownPatch): MeasuredPatch {
  const { at } = patch;
  const scale = raster.bitsPerChannel === 8 ? 255 : 65_535;
  const core = codesOfDisc(raster, at, 0, coreRadius).map(middle);
  let radius = ringRadii[0]!;
  for (let i = 1; i < ringRadii.length; i++) {
    const ring = codesOfDisc(raster, at, ringRadii[i - 1]!, ringRadii[i]!);
    if (ring.some((codes) => codes.length === 0)) break;
    if (
      ring.some((codes, c) => {
        const limit = sameToneShare * scale;
        const strays =
          codes.filter((code) => Math.abs(code - core[c]!) > limit + 0.25 * core[c]!).length / codes.length;
        return Math.abs(middle(codes) - core[c]!) > limit || strays > 0.12;
      })
    )
      break;
    radius = ringRadii[i]!;
  }
  return { ...patch, codes: codesOfDisc(raster, at, 0, Math.max(2, usedShare * radius)) };
}

/**
 * Light of one channel of a patch under a table, robust, and its relative uncertainty, the file format's rounding
 * included.
 */
export function lightOf(
  codes: readonly number[],
  table: Float32Array,
  roundingCodes: number,
): { light: number; sigmaShare: number } {
  const values = Float64Array.from(codes, (code) => table[code]!);
  const { middle: centre, spread } = middleAndSpread(values);
  const kept = values.filter((value) => Math.abs(value - centre) <= 4 * Math.max(spread, 1e-4));
  const mean = kept.reduce((sum, value) => sum + value, 0) / kept.length;
  const code = Math.min(Math.round(middle(codes)), table.length - 2);
  const rounding = roundingCodes * (table[code + 1]! - table[code]!);
  return {
    light: mean,
    sigmaShare: mean > 0 ? Math.hypot(spread / Math.sqrt(Math.max(1, kept.length / 10)), rounding) / mean : 1,
  };
}
