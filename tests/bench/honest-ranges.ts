// Whether verdicts and ranges can be believed: curves, tablets, coatings and cameras that the fit does not know.
// npm run bench -- honest-ranges, or with a number of tests and a first seed of its own:
// npx tsx tests/bench/honest-ranges.ts <tests a condition> <first seed> <tune | report> <slices, "0,1,too short">
// All lines grow together, twenty tests at a time, and what is known so far is printed after each forty.
import { conditions, moderate } from "./honest/conditions.ts";
import { outcomes, summary, type Outcome, type Plan } from "./honest/outcomes.ts";
import { margins } from "./honest/simulated-print.ts";
import { keptBackFamilies, tuningFamilies } from "./honest/truth-curves.ts";

export const title = "verdicts and 95 % ranges over simulated prints of curves that the fit does not know (stops)";

/** Seeds of the report; the method was tuned on 1 to 9,999 and without the families kept back. */
const reportSeed = 100_000;

/**
 * The best rule (honest/best-rule.ts) is asked of one print in so many: what a range can be and can hold that knows the
 * eight families and how everything is drawn, but not more than the program of the coating.
 */
const bestOneIn = 8;

/** Conditions that differ in the coating alone: what else tells of it is tried on these. */
const coatingConditions = [0, 3, 4].map((i) => conditions[i]!);

// Two yardsticks: the narrowest range for whoever knows the size of every error that was drawn, and the narrowest for
// whoever must admit a coating as uneven as is usual, since a strip cannot tell that from an even one, or knows it from
// the coating beside the strip; both admit a usual tablet where none is told better.
const heading =
  "                                        n  good%  held%  median   90 %   mean   half  narrowest ratio    untold" +
  " ratio  good&far good&missed far&missed falsebound";

function line(name: string, all: readonly Outcome[]): string {
  const s = summary(all);
  return [
    name.padEnd(36),
    String(s.tests).padStart(5),
    s.goodPercent.toFixed(1).padStart(6),
    s.heldPercent.toFixed(1).padStart(6),
    s.medianErrorStops.toFixed(3).padStart(7),
    s.ninetyPercentErrorStops.toFixed(3).padStart(6),
    s.meanErrorStops.toFixed(3).padStart(6),
    s.medianHalfStops.toFixed(3).padStart(6),
    s.medianNarrowestStops.toFixed(3).padStart(10),
    (s.medianHalfStops / s.medianNarrowestStops).toFixed(2).padStart(5),
    s.medianNarrowestUntoldStops.toFixed(3).padStart(8),
    (s.medianHalfStops / s.medianNarrowestUntoldStops).toFixed(2).padStart(5),
    s.goodButFarPercent.toFixed(1).padStart(9),
    s.goodButMissedPercent.toFixed(1).padStart(11),
    s.goodFarAndMissedPercent.toFixed(1).padStart(10),
    s.falseBoundPercent.toFixed(1).padStart(10),
  ].join(" ");
}

/** One line of the report: a condition, what the program is told, and the tests so far. */
interface Line {
  readonly name: string;
  readonly plan: Omit<Plan, "count" | "firstSeed" | "families">;
  readonly share: number;
  readonly seedsFrom: number;
  readonly all: Outcome[];
}

function linesOf(isAsked: (slice: string) => boolean): Line[] {
  const lines: Line[] = [];
  const add = (name: string, plan: Line["plan"], { share = 1, seedsFrom = 0 } = {}) =>
    lines.push({ name, plan, share, seedsFrom, all: [] });
  for (const condition of conditions.filter((_, i) => isAsked(String(i)))) {
    const plan = { condition, margin: margins.good };
    add(condition.name, { ...plan, bestOneIn, isCoatingTold: true });
    add("  the coating not told", { ...plan, bestOneIn, isCoatingTold: false });
    add("  not told, seen beside the strip", { ...plan, bestOneIn, isCoatingTold: false, isBesideSeen: true });
    if (!coatingConditions.includes(condition)) continue;
    add("  not told, two strips head to tail", { ...plan, isCoatingTold: false, isPaired: true });
    add("  not told, three earlier sheets", { ...plan, isCoatingTold: false, earlierSheets: 3 });
  }
  for (const condition of [conditions[0]!, moderate])
    for (const name of (["too short", "barely reaching", "good"] as const).filter(isAsked))
      add(
        `${name}, ${condition === moderate ? "moderate" : "independent"}`,
        { condition, margin: margins[name], isCoatingTold: false, ...(name === "good" ? { bestOneIn } : {}) },
        { share: 1.25, seedsFrom: 50_000 },
      );
  return lines;
}

function printLine(print: (line: string) => void, { name, all }: Line): void {
  print(line(name, all));
  const best = all.flatMap((one) => (one.best === null ? [] : [one.best]));
  if (best.length > 0) print(line("    the best rule", best));
}

const together = 20;
const printedEach = 40;

export async function run(
  print: (line: string) => void,
  {
    count = 400,
    firstSeed = reportSeed,
    which = "report",
    slices = null,
  }: { count?: number; firstSeed?: number; which?: string; slices?: readonly string[] | null } = {},
): Promise<void> {
  const families = which === "tune" ? tuningFamilies : [...tuningFamilies, ...keptBackFamilies];
  const lines = linesOf((slice) => slices === null || slices.includes(slice));
  for (let done = 0; done < count; done += together) {
    const upTo = Math.min(count, done + together);
    for (const { plan, share, seedsFrom, all } of lines) {
      const next = Math.ceil(share * upTo) - all.length;
      all.push(...outcomes({ ...plan, families, count: next, firstSeed: firstSeed + seedsFrom + all.length }));
    }
    if (upTo % printedEach === 0 || upTo === count) {
      print(heading);
      for (const known of lines) printLine(print, known);
    }
  }
  for (const family of families)
    print(
      line(
        `  ${family}`,
        (lines[0]?.all ?? []).filter((one) => one.family === family),
      ),
    );
}

if (process.argv[1]?.endsWith("honest-ranges.ts")) {
  const [count, firstSeed, which, slices] = process.argv.slice(2);
  const started = performance.now();
  await run((text) => console.log(text), {
    ...(count === undefined ? {} : { count: Number(count) }),
    ...(firstSeed === undefined ? {} : { firstSeed: Number(firstSeed) }),
    ...(which === undefined ? {} : { which }),
    ...(slices === undefined ? {} : { slices: slices.split(",") }),
  });
  console.log(`(${((performance.now() - started) / 1000).toFixed(0)} s)`);
}
