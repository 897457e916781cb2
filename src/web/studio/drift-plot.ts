// The control chart of one combination: each test's time in stops against the mean of the earlier ones, by its day.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { ApartTest } from "#shared/lookup/box-combinations.ts";
import type { Drift, DriftTest } from "#shared/lookup/drift.ts";
import { dayAxis } from "#shared/format/day-axis.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatStops } from "#shared/format/number.ts";
import { plotAxis, type PlotPoint, type PlotSpec } from "#shared/format/plot.ts";
import { apartWords } from "#shared/words/materials/drift-words.ts";

const dayMs = 86_400_000;

/** One test of the chart as the list under it names it, newest first. */
export interface ChartedTest {
  readonly id: string;
  readonly day: string;
  readonly stops: string;
  /** Why it is not held against the others; null where it is. */
  readonly apart: string | null;
}

const stopsOf = ({ centreLogSeconds }: Drift, { logSeconds }: DriftTest): number =>
  stopsFromLogH(logSeconds - centreLogSeconds);

export function chartedTests(drift: Drift, apart: readonly ApartTest[]): ChartedTest[] {
  return [...drift.tests.map((test) => ({ ...test, reason: null })), ...apart]
    .sort((a, b) => Date.parse(b.madeAt) - Date.parse(a.madeAt))
    .map((test) => ({
      id: test.id,
      day: formatDay(test.madeAt),
      stops: formatStops(stopsOf(drift, test)),
      apart: test.reason === null ? null : apartWords[test.reason],
    }));
}

export function controlChartPlot(drift: Drift, apart: readonly ApartTest[]): PlotSpec {
  const limit = stopsFromLogH(rangeSigmas * drift.sdLogSeconds);
  const point = (test: DriftTest, why: string | null): PlotPoint => {
    const y = stopsOf(drift, test);
    const half = stopsFromLogH(rangeSigmas * test.sigmaLogSeconds);
    const label = `${formatDay(test.madeAt)}: ${formatStops(y)}${why === null ? "" : `, not counted: ${why}`}`;
    return {
      x: Date.parse(test.madeAt) / dayMs,
      y,
      lower: y - half,
      upper: y + half,
      label,
      ...(why === null ? {} : { leftOut: true }),
    };
  };
  const points = [
    ...drift.tests.map((test) => point(test, null)),
    ...apart.map((test) => point(test, apartWords[test.reason])),
  ];
  const x = dayAxis(
    "day of the test",
    [...drift.tests, ...apart].map(({ madeAt }) => Date.parse(madeAt)),
  );
  const band = [x.min, x.max].map((at) => ({ x: at, y: 0, lower: -limit, upper: limit }));
  return {
    title: "Drift",
    summary:
      "Time of each test against the mean of the earlier ones. In the band lie 95 of 100 tests made alike, by the " +
      "scatter of prints learned here and what a test measures. Hollow: not counted, the list below says why.",
    x,
    y: plotAxis("stops slower (+) or faster (−)", [
      ...points.flatMap(({ lower, upper, y }) => [lower ?? y, upper ?? y]),
      -limit,
      limit,
    ]),
    series: [
      { name: "where 95 of 100 tests made alike lie", kind: "band", look: 2, points: band },
      { name: "tests with their 95 % ranges", kind: "points", look: 1, points },
    ],
  };
}
