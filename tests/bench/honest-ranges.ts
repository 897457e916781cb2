// Whether verdicts and ranges can be believed: curves, tablets, coatings and cameras that the fit does not know.
// npm run bench -- honest-ranges, or in slices that each take minutes:
// npx tsx tests/bench/honest-ranges.ts <tests a condition> <first seed> <tune | report> <slices, "0,1,too short">
import { conditions } from "./honest/conditions.ts";
import { outcomes, summary, type Outcome } from "./honest/outcomes.ts";
import { margins } from "./honest/simulated-print.ts";
import { keptBackFamilies, tuningFamilies } from "./honest/truth-curves.ts";

export const title = "verdicts and 95 % ranges over simulated prints of curves that the fit does not know (stops)";

/** Seeds of the report; the method was tuned on 1 to 9,999 and without the families kept back. */
const reportSeed = 100_000;

// Two yardsticks: the narrowest range for whoever knows the size of every error that was drawn, and the narrowest for
// whoever must admit a coating as uneven as is usual, since a strip cannot tell that from an even one.
/** Conditions that differ in the coating alone: what else tells of it is tried on these. */
const coatingConditions = [0, 3, 4].map((i) => conditions[i]!);

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

export async function run(
  print: (line: string) => void,
  {
    count = 400,
    firstSeed = reportSeed,
    which = "report",
    slices = null,
  }: { count?: number; firstSeed?: number; which?: string; slices?: readonly string[] | null } = {},
): Promise<void> {
  const isAsked = (slice: string) => slices === null || slices.includes(slice);
  const families = which === "tune" ? tuningFamilies : [...tuningFamilies, ...keptBackFamilies];
  print(heading);
  for (const condition of conditions.filter((_, i) => isAsked(String(i)))) {
    const plan = { count, firstSeed, families, condition, margin: margins.good };
    const all = outcomes({ ...plan, isCoatingTold: true });
    print(line(condition.name, all));
    if (condition === conditions[0])
      for (const family of families)
        print(
          line(
            `  ${family}`,
            all.filter((one) => one.family === family),
          ),
        );
    print(line("  the coating not told", outcomes({ ...plan, isCoatingTold: false })));
    if (!coatingConditions.includes(condition)) continue;
    print(line("  not told, two strips head to tail", outcomes({ ...plan, isCoatingTold: false, isPaired: true })));
    print(line("  not told, three earlier sheets", outcomes({ ...plan, isCoatingTold: false, earlierSheets: 3 })));
  }
  const moderate = conditions.at(-1)!;
  for (const condition of [conditions[0]!, moderate])
    for (const name of (["too short", "barely reaching", "good"] as const).filter(isAsked))
      print(
        line(
          `${name}, ${condition === moderate ? "moderate" : "independent"}`,
          outcomes({
            count: Math.ceil(count * 1.25),
            firstSeed: firstSeed + 50_000,
            families,
            condition,
            margin: margins[name],
            isCoatingTold: false,
          }),
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
