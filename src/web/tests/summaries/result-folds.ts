// What the folded parts of a result say while they are closed: enough to know whether to open them.
import type { ResultView } from "#src/web/tests/view.ts";

/** One line for each folded part. */
export interface ResultFolds {
  readonly reasons: string;
  readonly depths: string;
  readonly budget: string;
  readonly steps: string;
  readonly figures: string;
  readonly conditions: string;
}

type Folded = Pick<ResultView, "reasons" | "depths" | "budget" | "stepTable" | "figures" | "conditions">;

/** Most parts of a list that a line names. */
const mostNamed = 2;

export function resultFolds({ reasons, depths, budget, stepTable, figures, conditions }: Folded): ResultFolds {
  const flagged = stepTable.rows.filter(({ flags }) => flags !== "");
  const timed = depths.filter(({ isShare, time }) => isShare && /^\d/.test(time));
  return {
    reasons: reasons.length === 1 ? "1 sentence" : `${reasons.length} sentences`,
    depths: [...new Set([timed[0], timed.at(-1)])]
      .flatMap((row) => (row === undefined ? [] : [`${row.depth} at ${row.time}`]))
      .join(", "),
    budget: budget
      .slice(0, mostNamed)
      .map(({ source, stops }) => `${source.toLowerCase()} ${stops} stop`)
      .join(", "),
    steps: `${stepTable.rows.length}, ${flaggedWords(flagged.map(({ index }) => index))}`,
    figures: figures
      .slice(0, mostNamed)
      .map(({ term, value }) => `${term} ${value}`)
      .join(", "),
    conditions: conditions
      .slice(0, mostNamed)
      .map(({ term, value }) => `${term.toLowerCase()} ${value}`)
      .join(", "),
  };
}

/** The steps that were flagged, by number where they are few. */
function flaggedWords(steps: readonly number[]): string {
  if (steps.length === 0) return "none flagged";
  if (steps.length > 4) return `${steps.length} flagged`;
  return `flagged: ${steps.join(", ")}`;
}
