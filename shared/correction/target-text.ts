// What a curve aims at, told apart and as an address carries it.
import type { CorrectionTarget, TonedTarget } from "#shared/schema/correction.ts";

/** Whether a target is that of a print toned or bleached afterwards. */
export function isToned(target: CorrectionTarget): target is TonedTarget {
  return typeof target === "object" && "tonedTestId" in target;
}

/** A target as an address carries it, for the schema of such texts to read. */
export function targetText(target: CorrectionTarget): string {
  if (typeof target === "string") return target;
  if (isToned(target)) return `toned:${target.tonedTestId},${target.plainTestId}`;
  return target.points.map(({ level, percent }) => `${level}:${percent}`).join(",");
}
