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
  /** Batch of its coating; null where nobody noted it. */
  readonly batch: string | null;
}

/** What each batch is called, by its id. */
type BatchNames = ReadonlyMap<string, string>;

/** Newest batches that are told apart by their points; older ones share one look. */
const mostBatches = 3;
const batchLooks = [1, 3, 4] as const;
const otherLook = 5;

const stopsOf = ({ centreLogSeconds }: Drift, { logSeconds }: DriftTest): number =>
  stopsFromLogH(logSeconds - centreLogSeconds);

export function chartedTests(drift: Drift, apart: readonly ApartTest[], names: BatchNames): ChartedTest[] {
  return [...drift.tests.map((test) => ({ ...test, reason: null })), ...apart]
    .sort((a, b) => Date.parse(b.madeAt) - Date.parse(a.madeAt))
    .map((test) => ({
      id: test.id,
      day: formatDay(test.madeAt),
      stops: formatStops(stopsOf(drift, test)),
      apart: test.reason === null ? null : apartWords[test.reason],
      batch: names.get(test.batchId ?? "") ?? null,
    }));
}

export function controlChartPlot(drift: Drift, apart: readonly ApartTest[], names: BatchNames): PlotSpec {
  const limit = stopsFromLogH(rangeSigmas * drift.sdLogSeconds);
  const point = (test: DriftTest, why: string | null): PlotPoint => {
    const y = stopsOf(drift, test);
    const half = stopsFromLogH(rangeSigmas * test.sigmaLogSeconds);
    const batch = names.get(test.batchId ?? "");
    const label =
      `${formatDay(test.madeAt)}: ${formatStops(y)}${batch === undefined ? "" : `, batch ${batch}`}` +
      (why === null ? "" : `, not counted: ${why}`);
    return {
      x: Date.parse(test.madeAt) / dayMs,
      y,
      lower: y - half,
      upper: y + half,
      label,
      ...(why === null ? {} : { leftOut: true }),
    };
  };
  const drawn = [
    ...drift.tests.map((test) => ({ test, at: point(test, null) })),
    ...apart.map((test) => ({ test, at: point(test, apartWords[test.reason]) })),
  ];
  const points = drawn.map(({ at }) => at);
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
      ...seriesByBatch(drawn, names),
    ],
  };
}

/** The tests of each batch as points of their own look; without batches all alike. */
function seriesByBatch(
  drawn: readonly { readonly test: DriftTest; readonly at: PlotPoint }[],
  names: BatchNames,
): PlotSpec["series"] {
  const newestFirst = [...drawn].sort((a, b) => Date.parse(b.test.madeAt) - Date.parse(a.test.madeAt));
  const batchOf = ({ batchId }: DriftTest): string => (names.has(batchId ?? "") ? (batchId ?? "") : "");
  const told = [...new Set(newestFirst.map(({ test }) => batchOf(test)))]
    .filter((id) => id !== "")
    .slice(0, mostBatches);
  const pointsOf = (isOf: (test: DriftTest) => boolean): PlotPoint[] =>
    drawn.filter(({ test }) => isOf(test)).map(({ at }) => at);
  const others = pointsOf((test) => !told.includes(batchOf(test)));
  return [
    ...told.map((id, i) => ({
      name: `batch ${names.get(id) ?? ""}`,
      kind: "points" as const,
      look: batchLooks[i] ?? otherLook,
      points: pointsOf((test) => batchOf(test) === id),
    })),
    ...(others.length === 0
      ? []
      : [
          {
            name: told.length === 0 ? "tests with their 95 % ranges" : "of older or unknown batches",
            kind: "points" as const,
            look: told.length === 0 ? (1 as const) : otherLook,
            points: others,
          },
        ]),
  ];
}
