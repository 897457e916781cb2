// The comparison page's view object: times against a chosen test, the curves over each other, then pairs and figures.
import { formatFixed } from "#shared/format/number.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import type { ComparedTest, Comparison, TestPair, ValueWithRange } from "#shared/schema/comparisons.ts";
import { shortLabels, timeMatrix, timesAgainst, type MatrixRow, type TimeAgainst } from "./time-matrix.ts";
import { overlaidCurvesPlot } from "#src/web/tests/curve-plot.ts";

export interface ComparisonView {
  /** What the others are held against, with the links that choose another. */
  readonly references: readonly { readonly label: string; readonly href: string; readonly isChosen: boolean }[];
  readonly times: readonly TimeAgainst[];
  readonly matrix: readonly MatrixRow[];
  /** Pairs with the reference. */
  readonly pairs: readonly {
    readonly title: string;
    readonly sentence: string;
    /** The same by all tests of both materials; null where there are no more than these two. */
    readonly pooled: string | null;
    readonly warnings: readonly string[];
    readonly rows: readonly {
      readonly term: string;
      readonly value: string;
      readonly range: string;
      readonly meaning: string;
    }[];
  }[];
  readonly plot: PlotSpec | null;
  readonly table: readonly {
    readonly id: string;
    readonly label: string;
    readonly dMax: string;
    readonly dMin: string;
    readonly range: string;
    readonly gradient: string;
  }[];
}

/** Shown where a test does not reach. */
const absent = "–";

function shown(value: number | null | undefined): string {
  return value === null || value === undefined ? absent : formatFixed(value, 2);
}

function rowsOf(pair: TestPair): ComparisonView["pairs"][number]["rows"] {
  const row = (
    term: string,
    value: ValueWithRange | null,
    meaning: string,
    sign: boolean,
  ): ComparisonView["pairs"][number]["rows"][number] => {
    const text = (each: number): string => `${sign && each > 0 ? "+" : ""}${formatFixed(each, 2)}`;
    return {
      term,
      value: value === null ? absent : text(value.value),
      range: value === null ? "not reached" : `${text(value.lower)} to ${text(value.upper)}`,
      meaning,
    };
  };
  return [
    row("Time needed, second over first", pair.timeRatio, "1.40 means four tenths longer", false),
    row("Speed, second over first", pair.speedRatio, "the inverse of the time", false),
    row("Log exposure range, difference", pair.logExposureRangeDifference, "more means a longer scale", true),
    row("Average gradient, difference", pair.averageGradientDifference, "more means more contrast", true),
    row("D-max, difference", pair.dMaxDifference, "less means a weaker deepest blue", true),
    row("D-min, difference", pair.dMinDifference, "more means more stain", true),
  ];
}

/** @param compared the reference first */
export function comparisonView({ tests: compared, pairs }: Comparison): ComparisonView {
  const labels = shortLabels(compared.map(({ label }) => label));
  const tests = compared.map((test, i) => ({ ...test, label: labels[i] ?? test.label }));
  const [reference] = tests;
  const labelOf = (id: string): string => tests.find((test) => test.id === id)?.label ?? id;
  const drawn = tests.flatMap((test): { name: string; curve: NonNullable<ComparedTest["curve"]> }[] =>
    test.curve === null || test.curve.samples.length === 0 ? [] : [{ name: test.label, curve: test.curve }],
  );
  const query = tests.map(({ id }) => `testId=${encodeURIComponent(id)}`).join("&");
  return {
    references: tests.map(({ id, label }) => ({
      label,
      href: `/comparisons?${query}&reference=${encodeURIComponent(id)}`,
      isChosen: id === reference?.id,
    })),
    times: reference === undefined ? [] : timesAgainst(reference, tests, pairs),
    matrix: timeMatrix(tests, pairs),
    pairs: pairs
      .filter(({ firstId }) => firstId === reference?.id)
      .map((pair) => ({
        title: `${labelOf(pair.secondId)} against ${labelOf(pair.firstId)}`,
        sentence: pair.sentence,
        pooled: pair.pooled?.sentence ?? null,
        warnings: pair.warnings.map(({ message }) => message),
        rows: rowsOf(pair),
      })),
    plot: drawn.length === 0 ? null : overlaidCurvesPlot(drawn),
    table: compared.map(({ id, label, curve }) => ({
      id,
      label,
      dMax: shown(curve?.dMax),
      dMin: shown(curve?.dMin),
      range: shown(curve?.logExposureRange),
      gradient: shown(curve?.averageGradient),
    })),
  };
}
