// Sky and ground in numbers. A cloud never becomes a factor on the time: it is a range and a warning.
import type { Ground, Sky } from "#shared/schema/sun/conditions.ts";

/** Share of ultraviolet light that each ground throws back, 0-1. */
export const groundShares: Readonly<Record<Ground, number>> = {
  grass: 0.05, // grass, soil, water, paving: SunJudgement
  sand: 0.15, // from memory
  snow: 0.8, // fresh snow: SunJudgement
};

/** Haze of ordinary clear air: aerosol optical depth at 500 nm. Source: SunJudgement (judgement). */
export const usualHaze = 0.1;
/** Bounds within which haze may be fitted to anchors. Source: SunJudgement. */
export const hazeBounds = { least: 0.02, most: 0.6 } as const;

/** Strength of the light relative to a clear sky, 5 to 95 % of the minutes. */
export interface CloudRange {
  readonly lowest: number;
  readonly highest: number;
}

/** How much the sky may change the light; null where no time can be given at all. Source: HelsinkiUva. */
export function cloudRange(sky: Sky): CloudRange | null {
  switch (sky) {
    case "clear":
    case "open-shade":
      return { lowest: 1, highest: 1 };
    case "thin-cloud":
      return { lowest: 0.78, highest: 1.11 }; // sun visible through or between clouds
    case "passing-cloud":
      return { lowest: 0.33, highest: 1.07 }; // a whole day of broken cloud
    case "overcast":
      return null; // 0.25 to 0.75: a factor of three
  }
}

/** What minutes of hidden sun count for: likely, and the range of 90 % of such minutes. Source: HelsinkiUva. */
export const hiddenSunShares = { likely: 0.45, lowest: 0.25, highest: 0.75 } as const;
