// How much cloth or paper a millilitre covers, learned from the print log.
import { quantileSorted } from "simple-statistics";

export interface Coverage {
  /** Median area covered by a millilitre. */
  readonly areaCm2PerMl: number;
  /** Smallest and largest of the log, or the 10th and 90th hundredth part with ten prints or more. */
  readonly lowerCm2PerMl: number;
  readonly upperCm2PerMl: number;
  readonly prints: number;
}

/** Prints from which the outer tenths are left out of the stated range. */
const enoughForTenths = 10;

/**
 * Area covered by a millilitre of sensitizer.
 * @param prints coated area [cm²] and sensitizer used [ml] of each print, both above 0
 * @returns null when nothing was logged
 * @example coverageOf([{ areaCm2: 600, coatingMl: 6 }])?.areaCm2PerMl // 100
 */
export function coverageOf(
  prints: readonly { readonly areaCm2: number; readonly coatingMl: number }[],
): Coverage | null {
  const ratios = prints
    .map((print) => print.areaCm2 / print.coatingMl)
    .filter((ratio) => Number.isFinite(ratio) && ratio > 0)
    .sort((a, b) => a - b);
  if (ratios.length === 0) return null;
  const outer = ratios.length >= enoughForTenths ? 0.1 : 0;
  return {
    areaCm2PerMl: quantileSorted(ratios, 0.5),
    lowerCm2PerMl: quantileSorted(ratios, outer),
    upperCm2PerMl: quantileSorted(ratios, 1 - outer),
    prints: ratios.length,
  };
}

/**
 * Sensitizer to mix for an area, with the stated lower coverage so that it does not run out.
 * @param areaCm2 area to coat [cm²]
 * @returns volume [ml]
 */
export function volumeMlForArea(areaCm2: number, coverage: Coverage): number {
  return areaCm2 / coverage.lowerCm2PerMl;
}
