// Whether the next print's range holds: one test's own, and the studio model's after one, two and five tests.
// npm run bench -- next-prints, or npx tsx tests/bench/next-prints.ts <tests in the pool> <first seed> <studios a row>
import { sigmaLogHAtShare } from "#shared/curve/share-uncertainty.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import type { Circumstances, Observation } from "#shared/studio-model/observation.ts";
import { predictTime } from "#shared/studio-model/predict.ts";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
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

/** The next print of a studio that made so many tests, each another print. */
function addStudio(
  row: Row,
  { pool, random, scatter, tests, isTabletShared }: StudioPlan & { pool: readonly PooledTest[]; random: Random },
): void {
  const tabletError = isTabletShared ? tabletSigma * random.normal() : 0;
  const observations = Array.from({ length: tests }, (_, i): Observation => {
    const test = pool[Math.floor(random.uniform() * pool.length)]!;
    return {
      ...atHand,
      id: `test ${i}`,
      atMs: (i - tests) * 86_400_000,
      tablet: { id: "tablet", sigma: isTabletShared ? tabletSigma : 0 },
      seen: {
        kind: "measured",
        logSeconds: test.error + tabletError + scatter * random.normal(),
        sigma: test.sigma,
      },
    };
  });
  const { nextPrint } = predictTime(fitStudio(observations), atHand);
  const next = scatter * random.normal();
  row.n++;
  if (nextPrint.lower <= next && next <= nextPrint.upper) row.held++;
  row.halves.push((nextPrint.upper - nextPrint.lower) / 2);
}

interface StudioPlan {
  readonly scatter: number;
  readonly tests: number;
  readonly isTabletShared: boolean;
}

/** The range that the page of one test tells: this print had its own scatter, the next has another. */
function addOwnPage(row: Row, pool: readonly PooledTest[], random: Random, scatter: number): void {
  const test = pool[row.n % pool.length]!;
  const apart = scatter * Math.SQRT2 * random.normal();
  row.n++;
  if (test.nextPrintLower <= apart && apart <= test.nextPrintUpper) row.held++;
  row.halves.push((test.nextPrintUpper - test.nextPrintLower) / 2);
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
  print(`${"".padEnd(40)}${scatters.map((scatter) => scatter.toFixed(2).padStart(12)).join("")}`);
  const line = (name: string, fill: (row: Row, scatter: number, random: Random) => void) => {
    const random = seededRandom(firstSeed);
    const cells = scatters.map((scatter) => {
      const row: Row = { held: 0, n: 0, halves: [] };
      for (let i = 0; i < studios; i++) fill(row, scatter, random);
      return cell(row);
    });
    print(`${name.padEnd(40)}${cells.join("")}`);
  };
  line("the test's own page", (row, scatter, random) => addOwnPage(row, pool, random, scatter));
  for (const isTabletShared of [false, true])
    for (const tests of counts)
      line(
        `${tests} ${tests === 1 ? "test" : "tests"}${isTabletShared ? ", tablet by its label" : ""}`,
        (row, scatter, random) => addStudio(row, { pool, random, scatter, tests, isTabletShared }),
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
