// Figures of a distribution, and the lines they are printed in.

/** Value below which a share (0-1) of the numbers lies, by linear interpolation. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((left, right) => left - right);
  if (sorted.length === 0) return Number.NaN;
  const position = share * (sorted.length - 1);
  const below = Math.floor(position);
  const above = Math.min(sorted.length - 1, below + 1);
  return sorted[below]! + (sorted[above]! - sorted[below]!) * (position - below);
}

export function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

export function shareOf<Item>(items: readonly Item[], holds: (item: Item) => boolean): number {
  return items.length === 0 ? Number.NaN : items.filter(holds).length / items.length;
}

/**
 * Deviation of a sample that a few wild values do not move much: half the distance between the 16 % and 84 % points.
 */
export function robustDeviation(values: readonly number[]): number {
  return (quantile(values, 0.8413) - quantile(values, 0.1587)) / 2;
}

export interface Row {
  readonly what: string;
  readonly values: readonly number[];
  readonly goal: string;
  /** Whether the goal is met; absent where the row is for information. */
  readonly met?: boolean;
  readonly digits?: number;
}

/** One line: what, how many, median, 90 %, worst, goal. */
export function distributionLine({ what, values, goal, met, digits = 4 }: Row): string {
  const shown = [quantile(values, 0.5), quantile(values, 0.9), Math.max(...values)].map((value) =>
    value.toFixed(digits).padStart(9),
  );
  return `${what.padEnd(46)}${String(values.length).padStart(6)}${shown.join("")}   ${goal}${verdictOf(met)}`;
}

/** One line for a single figure. */
export function figureLine(what: string, figure: string, goal: string, met?: boolean): string {
  return `${what.padEnd(46)}${figure.padStart(33)}   ${goal}${verdictOf(met)}`;
}

const figureHeads = ["median", "90 %", "worst"].map((head) => head.padStart(9)).join("");
export const heading = `${"".padEnd(46)}${"n".padStart(6)}${figureHeads}   goal`;

function verdictOf(met: boolean | undefined): string {
  if (met === undefined) return "";
  return met ? "  met" : "  MISSED";
}
