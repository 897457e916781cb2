// Two or more tests side by side: how much faster, longer, steeper and darker one is than the other.
import { z } from "zod";
import type { Channel, Curve } from "./curve.ts";
import type { Warning } from "./reading.ts";

/** Most tests of one comparison; the pairs grow with its square. */
const maxComparedTests = 12;

export const comparisonRequestSchema = z.object({
  testIds: z
    .array(z.string().min(1).max(64))
    .min(2, "choose at least two tests")
    .max(maxComparedTests, `choose at most ${maxComparedTests} tests`)
    .refine((ids) => new Set(ids).size === ids.length, "choose different tests"),
});
export type ComparisonRequest = z.infer<typeof comparisonRequestSchema>;

/** A value with its 95 % range. */
export interface ValueWithRange {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** The materials of two tests held against each other by all their tests, not by these two alone. */
export interface PooledTime {
  /** Time that the second's materials need over the first's. */
  readonly timeRatio: ValueWithRange;
  /** Times of the two bare coatings by all tests [s]. */
  readonly firstSeconds: number;
  readonly secondSeconds: number;
  /** Tests of each that count. */
  readonly firstTests: number;
  readonly secondTests: number;
  readonly sentence: string;
}

/** The second test against the first. A difference is second minus first; null where one of the two does not reach. */
export interface TestPair {
  readonly firstId: string;
  readonly secondId: string;
  /** Speed of the second over that of the first: above 1, the second needs less time. */
  readonly speedRatio: ValueWithRange | null;
  /** Time that the second needs over that of the first; the inverse of `speedRatio`. */
  readonly timeRatio: ValueWithRange | null;
  /** log H between toe and shoulder. */
  readonly logExposureRangeDifference: ValueWithRange | null;
  readonly averageGradientDifference: ValueWithRange | null;
  readonly dMaxDifference: ValueWithRange | null;
  readonly dMinDifference: ValueWithRange | null;
  /** Null where both are of the same materials, where neither was tested again, and under the sun. */
  readonly pooled: PooledTime | null;
  /** What it comes to, in plain words. */
  readonly sentence: string;
  readonly warnings: readonly Warning[];
}

export interface ComparedTest {
  readonly id: string;
  /** The test's name, or what tells it from the others. */
  readonly label: string;
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId: string | null;
  readonly channel: Channel;
  /** Time that the bare coating needs to the shoulder [s]; null when the test does not tell it. */
  readonly bareSeconds: number | null;
  /** For overlaid plots; null when the test has none. */
  readonly curve: Curve | null;
}

export interface Comparison {
  readonly tests: readonly ComparedTest[];
  /** Every pair, in the order of the request. */
  readonly pairs: readonly TestPair[];
}
