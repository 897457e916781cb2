// Whether the next print's range holds: one test's own, and the studio model's after one, two and five tests.
// npm run bench -- next-prints, or npx tsx tests/bench/next-prints.ts <tests in the pool> <first seed> <studios a row>
import { sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import type { Circumstances, Observation } from "#shared/studio-model/observation.ts";
import { predictTime } from "#shared/studio-model/predict.ts";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { usualPrintScatter } from "#shared/studio-model/usual-print-scatter.ts";
import { bestNextPrint } from "./honest/best-next-print.ts";
import { conditions } from "./honest/conditions.ts";
import { assessed, margins, share, simulatedPrint } from "./honest/simulated-print.ts";
import { keptBackFamilies, tuningFamilies } from "./honest/truth-curves.ts";

export const title = "the next print's 95 % range, by the scatter between prints (log H) and the number of tests";

/** Seeds of the report; the method was tuned on smaller ones. */
const reportSeed = 500_000;
const scatters = [0.01, 0.02, 0.03, 0.04, 0.05] as const;
const counts = [1, 2, 5] as const;
/** Standard deviation of what one tablet does to all of its tests, where its label is all that is known [log10]. */
const tabletSigma = Math.hypot(0.02, 0.025 * 0.8);

/** One good test of a curve that the fit does not know: how far off it was, and how sure it said to be [log10]. */
interface PooledTest {
  readonly error: number;
  readonly sigma: number;
  readonly nextPrintLower: number;
  readonly nextPrintUpper: number;
}

const atHand: Circumstances = {
  lampId: "lamp",
  supportId: "support",
  coatingId: "coating",
  batchId: null,
  film: null,
  distance: null,
  lampHours: null,
  humidityPercent: null,
  finish: { acidWash: null, peroxide: null, oxidised: null },
  atMs: 0,
};

function pooledTests(count: number, firstSeed: number): PooledTest[] {
  const families = [...tuningFamilies, ...keptBackFamilies];
  return Array.from({ length: count }, (_, i) => firstSeed + i).flatMap((seed) => {
    const print = simulatedPrint({ seed, families, condition: conditions[0]!, margin: margins.good });
    const { curve, exposure } = assessed(print, { isCoatingTold: false });
    const sigma = curve === null ? null : sigmaLogHAtShare(curve, share);
    if (exposure.verdict !== "ok" || sigma === null || exposure.nextPrint == null) return [];
    return [
      {
        error: Math.log10(exposure.seconds!) - print.truth,
        sigma,
        nextPrintLower: Math.log10(exposure.nextPrint.lowerSeconds) - print.truth,
        nextPrintUpper: Math.log10(exposure.nextPrint.upperSeconds) - print.truth,
      },
    ];
  });
}

interface Row {
  held: number;
  n: number;
  readonly halves: number[];
}

const emptyRow = (): Row => ({ held: 0, n: 0, halves: [] });

/** The next print of a studio that made so many tests, each another print, by the program and by the best rule. */
function addStudio(
  { row, best }: { row: Row; best: Row },
  { pool, random, scatter, tests, isTabletShared }: StudioPlan & { pool: readonly PooledTest[]; random: Random },
): void {
  const commonSigma = isTabletShared ? tabletSigma : 0;
  const tabletError = commonSigma * random.normal();
  const told = Array.from({ length: tests }, () => {
    const test = pool[Math.floor(random.uniform() * pool.length)]!;
    return { logSeconds: test.error + tabletError + scatter * random.normal(), sigma: test.sigma };
  });
  const observations = told.map((test, i): Observation => ({
    ...atHand,
    id: `test ${i}`,
    atMs: (i - tests) * 86_400_000,
    tablet: { id: "tablet", sigma: commonSigma },
    seen: { kind: "measured", ...test },
  }));
  const next = scatter * random.normal();
  addRange(row, predictTime(fitStudio(observations), atHand).nextPrint, next);
  addRange(best, bestNextPrint(told, commonSigma), next);
}

function addRange(row: Row, { lower, upper }: { lower: number; upper: number }, next: number): void {
  row.n++;
  if (lower <= next && next <= upper) row.held++;
  row.halves.push((upper - lower) / 2);
}

interface StudioPlan {
  readonly scatter: number;
  readonly tests: number;
  readonly isTabletShared: boolean;
}

/**
 * The range that the page of one test tells: this print had its own scatter, the next has another. The best rule knows
 * the test's uncertainty.
 */
function addOwnPage(
  { row, best }: { row: Row; best: Row },
  pool: readonly PooledTest[],
  random: Random,
  scatter: number,
): void {
  const test = pool[row.n % pool.length]!;
  const apart = scatter * Math.SQRT2 * random.normal();
  addRange(row, { lower: test.nextPrintLower, upper: test.nextPrintUpper }, apart);
  addRange(best, bestNextPrint([{ logSeconds: test.error, sigma: test.sigma }], 0), apart);
}

function cell({ held, n, halves }: Row): string {
  const sorted = [...halves].sort((a, b) => a - b);
  const half = stopsFromLogH(sorted[sorted.length >> 1] ?? 0);
  return `${((100 * held) / n).toFixed(1).padStart(6)} ±${half.toFixed(2)}`;
}

export async function run(
  print: (line: string) => void,
  {
    poolSize = 400,
    firstSeed = reportSeed,
    studios = 400,
  }: { poolSize?: number; firstSeed?: number; studios?: number } = {},
): Promise<void> {
  const pool = pooledTests(poolSize, firstSeed);
  print(`${pool.length} good tests of ${poolSize}; ${studios} next prints a figure: held %, median half width (stops)`);
  print("last column: the scatter drawn as the program supposes it; over that a 95 % range should hold 95");
  const headings = [...scatters.map((one) => one.toFixed(2)), "drawn"];
  print(`${"".padEnd(40)}${headings.map((one) => one.padStart(12)).join("")}`);
  const line = (name: string, fill: (rows: { row: Row; best: Row }, scatter: number, random: Random) => void) => {
    const random = seededRandom(firstSeed);
    const drawn = () => usualPrintScatter.medianLogH * Math.exp(usualPrintScatter.logSigma * random.normal());
    const columns = [...scatters.map((scatter) => () => scatter), drawn].map((scatterOf) => {
      const rows = { row: emptyRow(), best: emptyRow() };
      for (let i = 0; i < studios; i++) fill(rows, scatterOf(), random);
      return rows;
    });
    print(`${name.padEnd(40)}${columns.map(({ row }) => cell(row)).join("")}`);
    print(`${"  the best rule".padEnd(40)}${columns.map(({ best }) => cell(best)).join("")}`);
  };
  line("the test's own page", (rows, scatter, random) => addOwnPage(rows, pool, random, scatter));
  for (const isTabletShared of [false, true])
    for (const tests of counts)
      line(
        `${tests} ${tests === 1 ? "test" : "tests"}${isTabletShared ? ", tablet by its label" : ""}`,
        (rows, scatter, random) => addStudio(rows, { pool, random, scatter, tests, isTabletShared }),
      );
}

if (process.argv[1]?.endsWith("next-prints.ts")) {
  const [poolSize, firstSeed, studios] = process.argv.slice(2).map(Number);
  await run((text) => console.log(text), {
    ...(poolSize === undefined ? {} : { poolSize }),
    ...(firstSeed === undefined ? {} : { firstSeed }),
    ...(studios === undefined ? {} : { studios }),
  });
}
