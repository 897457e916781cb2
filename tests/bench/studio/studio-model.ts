// The studio's model on invented studios: do its ranges hold.
import { quantile } from "../statistics.ts";
import {
  addContradiction,
  addRanges,
  addStudio,
  emptyCoverage,
  standardErrorOf,
  type Contradiction,
  type Coverage,
  type StudioCoverage,
} from "./studio-model-outcome.ts";
import type { StudioPlan } from "./simulated-studios.ts";
import { supposedStudio } from "./supposed-studios.ts";
import type { Print } from "../main.ts";

export const title = "the studio's model: ranges";

/** Reporting seeds; tuning was done below 10,000. */
const firstSeed = 20_000;
const studiosEach = 20;
const contradictedStudios = 40;
const scatters = [0.01, 0.02, 0.03, 0.05];
const halfStop = 0.5 * Math.log10(2);

const conditions: readonly (readonly [string, Partial<StudioPlan>])[] = [
  ["as assumed", {}],
  ["heavy tails", { tails: "heavy" }],
  ["interactions 0.12", { interaction: 0.12 }],
  ["one lamp changes by half a stop", { lampChange: halfStop }],
  ["one bad batch", { badBatch: true }],
  ["all of these", { tails: "heavy", interaction: 0.12, lampChange: halfStop, badBatch: true }],
  ["not assumed: every pair adds 0.08", { strangeness: "every-pair", interaction: 0.08 }],
  ["not assumed: three-way terms 0.06", { strangeness: "three-way" }],
  ["not assumed: lamps drift slowly by 0.1", { strangeness: "slow-drift" }],
  ["not assumed: scatter differs by support", { strangeness: "uneven-scatter" }],
  ["not assumed: only two speeds of each", { strangeness: "two-speeds" }],
];

function planOf(i: number, condition: Partial<StudioPlan>): StudioPlan {
  return {
    seed: firstSeed + i,
    printScatter: scatters[i % scatters.length]!,
    tails: "normal",
    interaction: 0.04,
    strangeness: "none",
    lampChange: 0,
    badBatch: false,
    tests: 8 + ((i * 37) % 53),
    ...condition,
  };
}

export async function run(print: Print): Promise<void> {
  print(
    `${studiosEach} studios each, seeds from ${firstSeed}; 8 to 60 tests; scatter 0.01, 0.02, 0.03, 0.05 in turn. ` +
      "In brackets the standard error, by studios. Goal 93-97 %.",
  );
  const shown = (coverage: Coverage): string =>
    `${heldShare(coverage).padStart(5)} % (${(100 * standardErrorOf(coverage)).toFixed(1)}) of ` +
    `${String(coverage.n).padStart(4)}, half ${quantile(coverage.halfWidths, 0.5).toFixed(3)}`;
  const line = (name: string, sums: StudioCoverage): void =>
    print(
      `${name.padEnd(42)} tested ${shown(sums.tested)} | untested ${shown(sums.untested)} | next print ` +
        shown(sums.nextPrint) +
        (sums.unseen.n === 0 ? "" : ` | of these, of a lamp untested since it changed ${shown(sums.unseen)}`),
    );
  for (const [name, condition] of conditions) {
    const sums = emptyCoverage();
    for (let i = 0; i < studiosEach; i++) addStudio(planOf(i, condition), sums);
    line(name, sums);
  }
  const supposed = emptyCoverage();
  for (let i = 0; i < studiosEach; i++) {
    const { seed, tests } = planOf(i, {});
    addRanges(supposedStudio(seed, tests), seed, supposed);
  }
  line("drawn as supposed, all changes too", supposed);
  reportContradiction(print);
}

function heldShare({ n, held }: Coverage): string {
  return ((100 * held) / n).toFixed(1);
}

function reportContradiction(print: Print): void {
  const sums: Contradiction = { widening: [], tested: emptyCoverage().tested, untested: emptyCoverage().untested };
  for (let i = 0; i < contradictedStudios; i++) addContradiction(planOf(i, {}), 3.5, sums);
  const wider = (share: number): string => `${((quantile(sums.widening, share) - 1) * 100).toFixed(1)} %`;
  const held = (coverage: Coverage): string => `${heldShare(coverage)} % of ${coverage.n}`;
  print(
    `\nOne combination contradicts itself by a factor of 3.5, ${contradictedStudios} studios: ranges of the other ` +
      "tested ones wider by " +
      `${wider(0.5)} (median), ${wider(0.9)} (90 %), ${wider(1)} (worst); goal below 10 %; tested held ` +
      `${held(sums.tested)}, untested ${held(sums.untested)}`,
  );
}
