// The control chart of one combination: each test's time in stops against the mean of the earlier ones.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { Drift } from "#shared/lookup/drift.ts";
import { formatDay } from "#shared/format/instant.ts";
import { formatStops } from "#shared/format/number.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";

export function controlChartPlot({ tests, centreLogSeconds, sdLogSeconds }: Drift): PlotSpec {
  const stops = (logSeconds: number): number => stopsFromLogH(logSeconds - centreLogSeconds);
  const limit = stopsFromLogH(rangeSigmas * sdLogSeconds);
  const points = tests.map((test, index) => {
    const y = stops(test.logSeconds);
    const half = stopsFromLogH(rangeSigmas * test.sigmaLogSeconds);
    return { x: index + 1, y, lower: y - half, upper: y + half, label: `${formatDay(test.madeAt)}: ${formatStops(y)}` };
  });
  const last = tests.length;
  const band = [0.5, last + 0.5].map((x) => ({ x, y: 0, lower: -limit, upper: limit }));
  return {
    title: "Drift",
    summary:
      "Time of each test against the mean of the earlier ones, oldest first. In the band lie 95 of 100 tests made " +
      "alike, by the scatter of prints learned here and what a test measures.",
    x: {
      label: "test, oldest first",
      min: 0.5,
      max: last + 0.5,
      ticks: tests
        .map((_test, index) => ({ at: index + 1, label: String(index + 1) }))
        .filter((_tick, index) => last <= 12 || index % Math.ceil(last / 10) === 0),
    },
    y: plotAxis("stops slower (+) or faster (−)", [
      ...points.flatMap((point) => [point.lower, point.upper]),
      -limit,
      limit,
    ]),
    series: [
      { name: "where 95 of 100 tests made alike lie", kind: "band", look: 2, points: band },
      { name: "tests with their 95 % ranges", kind: "points", look: 1, points },
    ],
  };
}
