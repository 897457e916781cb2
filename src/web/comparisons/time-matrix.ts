// How the times of tests stand to each other: one sentence a test against a chosen one, and all against all.
import { formatDuration } from "#shared/format/duration.ts";
import { formatFixed, formatStops } from "#shared/format/number.ts";
import type { ComparedTest, TestPair, ValueWithRange } from "#shared/schema/comparisons.ts";

export interface TimeAgainst {
  readonly label: string;
  /**
   * "Cotton 14:22 is 1.33 times Paper 10:48 (+0.4 stop, 0.2 to 0.6)"; by all tests of the materials, where there are
   * more than these two; null where one of the two has no time.
   */
  readonly sentence: string | null;
  /** The same drawn; null without a sentence. */
  readonly bar: RatioBar | null;
}

/** A time against another on a scale of stops that all of one page share, 0 in the middle: places of 100. */
interface RatioBar {
  readonly title: string;
  /** How far both ends of the scale lie from the middle, in words: "2 stops". */
  readonly ends: string;
  readonly from: number;
  readonly width: number;
  readonly at: number;
}

/** A scale never ends nearer than this [stops]. */
const leastScaleStops = 1;

export interface MatrixRow {
  readonly label: string;
  /**
   * Time of this row's test, or of its materials, over that of the column's: "1.33×"; with its range for those who look
   * closer.
   */
  readonly cells: readonly { readonly text: string; readonly range: string | null }[];
}

/** Labels without the parts that all of them share, where each still says something of its own. */
export function shortLabels(labels: readonly string[]): string[] {
  const parts = labels.map((label) => label.split(", "));
  const [first] = parts;
  if (first === undefined || parts.some(({ length }) => length !== first.length)) return [...labels];
  const differs = first.map((part, i) => parts.some((each) => each[i] !== part));
  const short = parts.map((each) => each.filter((_part, i) => differs[i]).join(", "));
  return new Set(short).size === labels.length && !short.includes("") ? short : [...labels];
}

/**
 * Time of one over time of the other, whichever way the pair is kept: by all tests of their materials, where there are
 * more than these two.
 */
function timeRatioOf(pairs: readonly TestPair[], ofId: string, overId: string): ValueWithRange | null {
  const there = pairs.find(({ firstId, secondId }) => firstId === overId && secondId === ofId);
  if (there !== undefined) return there.pooled?.timeRatio ?? there.timeRatio;
  const back = pairs.find(({ firstId, secondId }) => firstId === ofId && secondId === overId);
  if (back === undefined) return null;
  return back.pooled === null ? back.speedRatio : inverseOf(back.pooled.timeRatio);
}

function inverseOf({ value, lower, upper }: ValueWithRange): ValueWithRange {
  return { value: 1 / value, lower: 1 / upper, upper: 1 / lower };
}

/** Every other test's time against that of the chosen one. */
export function timesAgainst(
  reference: ComparedTest,
  tests: readonly ComparedTest[],
  pairs: readonly TestPair[],
): TimeAgainst[] {
  const others = tests.filter(({ id }) => id !== reference.id);
  const ratios = others.map(({ id }) => timeRatioOf(pairs, id, reference.id));
  const furthest = ratios.flatMap((ratio) => (ratio === null ? [] : [ratio.lower, ratio.upper]).map(Math.log2));
  const scaleStops = Math.ceil(Math.max(leastScaleStops, ...furthest.map(Math.abs)));
  return others.map((test, i) => {
    const ratio = ratios[i] ?? null;
    const pooled = pairs.find(({ firstId, secondId }) => firstId === reference.id && secondId === test.id)?.pooled;
    if (ratio !== null && pooled)
      return { label: test.label, sentence: pooled.sentence, bar: barOf(ratio, scaleStops) };
    if (ratio === null || test.bareSeconds === null || reference.bareSeconds === null)
      return { label: test.label, sentence: null, bar: null };
    const size =
      `${formatFixed(ratio.value, 2)} times ${reference.label} ${formatDuration(reference.bareSeconds)} ` +
      `(${inStops(ratio)})`;
    const isChance = ratio.lower <= 1 && ratio.upper >= 1;
    const rest = isChance ? ": no more than chance" : "";
    return {
      label: test.label,
      sentence: `${test.label} ${formatDuration(test.bareSeconds)} is ${size}${rest}.`,
      bar: barOf(ratio, scaleStops),
    };
  });
}

/** "+0.4 stop, 0.2 to 0.6". */
function inStops({ value, lower, upper }: ValueWithRange): string {
  const [from, to] = [lower, upper].map((ratio) => formatFixed(Math.log2(ratio), 1));
  return `${formatStops(Math.log2(value))}, ${from} to ${to}`;
}

function barOf(ratio: ValueWithRange, scaleStops: number): RatioBar {
  const { value, lower, upper } = ratio;
  const place = (ratio: number): number => Math.round(10 * (50 + (50 * Math.log2(ratio)) / scaleStops)) / 10;
  const [from, at] = [place(lower), place(value)];
  return {
    title: inStops(ratio),
    ends: `${scaleStops} ${scaleStops === 1 ? "stop" : "stops"}`,
    from,
    width: Math.round(10 * (place(upper) - from)) / 10,
    at,
  };
}

/** All against all, in the order of the tests; empty for two, which one sentence tells. */
export function timeMatrix(tests: readonly ComparedTest[], pairs: readonly TestPair[]): MatrixRow[] {
  if (tests.length < 3) return [];
  return tests.map((row) => ({
    label: row.label,
    cells: tests.map((column) => {
      if (row.id === column.id) return { text: "1", range: null };
      const ratio = timeRatioOf(pairs, row.id, column.id);
      if (ratio === null) return { text: "–", range: null };
      return {
        text: `${formatFixed(ratio.value, 2)}×`,
        range: `${formatFixed(ratio.lower, 2)} to ${formatFixed(ratio.upper, 2)}`,
      };
    }),
  }));
}
