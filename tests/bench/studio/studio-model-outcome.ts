// What the model says of invented studios, held against their truth: the bench prints it, the gate test judges it.
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import { unknownFinish, type Observation } from "#shared/studio-model/observation.ts";
import type { Scatter } from "#shared/studio-model/one-combination.ts";
import { predictTime } from "#shared/studio-model/predict.ts";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import { ownTests } from "#shared/lookup/own-tests.ts";
import { scatterDiffers } from "#shared/lookup/scatter-beside.ts";
import { dayMs, simulatedStudio, type SimulatedStudio, type StudioPlan } from "./simulated-studios.ts";

export interface Coverage {
  n: number;
  held: number;
  halfWidths: number[];
  /** The same of each studio, by its seed: ranges of one studio err together. */
  readonly studios: Map<number, { n: number; held: number }>;
}

export interface StudioCoverage {
  readonly tested: Coverage;
  readonly untested: Coverage;
  readonly nextPrint: Coverage;
  /** Of all of these, those of a lamp that changed and was not tested since: nobody could know. */
  readonly unseen: Coverage;
}

export function emptyCoverage(): StudioCoverage {
  const none = (): Coverage => ({ n: 0, held: 0, halfWidths: [], studios: new Map() });
  return { tested: none(), untested: none(), nextPrint: none(), unseen: none() };
}

function addRange(
  to: Coverage,
  seed: number,
  { lower, upper, truth }: { lower: number; upper: number; truth: number },
): void {
  const own = to.studios.get(seed) ?? { n: 0, held: 0 };
  to.studios.set(seed, own);
  const held = lower <= truth && truth <= upper ? 1 : 0;
  for (const count of [to, own]) {
    count.n++;
    count.held += held;
  }
  to.halfWidths.push((upper - lower) / 2);
}

/**
 * Standard error of the share that was held (0-1), from how studios differ: not from the number of ranges, which would
 * make it far too small.
 * Source: from memory (the ratio of two sums where whole groups are drawn).
 */
export function standardErrorOf({ n, held, studios }: Coverage): number {
  const count = studios.size;
  const squares = [...studios.values()].reduce((sum, own) => sum + (own.held - (held / n) * own.n) ** 2, 0);
  return Math.sqrt((squares * count) / (count - 1)) / n;
}

/** Ranges of every combination of one studio against the truth, added to a count. */
export function addStudio(plan: StudioPlan, sums: StudioCoverage): void {
  addRanges(simulatedStudio(plan), plan.seed, sums);
}

/** The same of a studio that was drawn otherwise. */
export function addRanges(studio: SimulatedStudio, seed: number, sums: StudioCoverage): void {
  const fit = fitStudio(studio.observations);
  const add = (to: Coverage, { lower, upper }: { lower: number; upper: number }, truth: number): void =>
    addRange(to, seed, { lower, upper, truth });
  for (const { of, truth, tests, isChangeUnseen } of studio.combinations) {
    const { calibration, nextPrint } = predictTime(fit, of);
    add(tests > 0 ? sums.tested : sums.untested, calibration, truth);
    if (isChangeUnseen) add(sums.unseen, calibration, truth);
    if (tests > 0) add(sums.nextPrint, nextPrint, studio.print(of, truth));
  }
}

export interface Contradiction {
  /**
   * Ranges of other combinations that were tested, with the contradiction and without it: the first over the second.
   */
  readonly widening: number[];
  /** The same, held against the truth. */
  readonly tested: Coverage;
  readonly untested: Coverage;
}

/**
 * One combination of a studio gets a second test, so many times as long as its last: what becomes of the ranges of all
 * others.
 */
export function addContradiction(plan: StudioPlan, factor: number, sums: Contradiction): void {
  const studio = simulatedStudio(plan);
  const last = studio.observations.at(-1);
  if (last === undefined || last.seen.kind !== "measured") return;
  const { seen } = last;
  const odd: Observation = {
    ...last,
    id: "odd",
    seen: { ...seen, logSeconds: seen.logSeconds + Math.log10(factor) },
  };
  const before = fitStudio(studio.observations);
  const after = fitStudio([...studio.observations, odd]);
  for (const { of, truth, tests } of studio.combinations) {
    if (of.lampId === last.lampId && of.supportId === last.supportId && of.coatingId === last.coatingId) continue;
    const [old, now] = [predictTime(before, of).calibration, predictTime(after, of).calibration];
    addRange(tests > 0 ? sums.tested : sums.untested, plan.seed, { lower: now.lower, upper: now.upper, truth });
    if (tests > 0) sums.widening.push((now.upper - now.lower) / (old.upper - old.lower));
  }
}

/** One combination tested again and again: what is said after each test. */
export interface Stream {
  /** Numbers of the tests, from 1, at which an alarm stood. */
  readonly alarms: readonly number[];
  /** Error of the time after test number `timedAt` [log10]. */
  readonly error: number;
  /** At which a change was held likelier than none. */
  readonly doubts: readonly number[];
}

export interface StreamPlan {
  readonly seed: number;
  readonly printScatter: number;
  readonly tails?: "normal" | "heavy";
  readonly tests: number;
  /** Step from this test on, counted from 1. */
  readonly changeAt?: number;
  readonly change?: number;
  /** After this test the time is asked for; 0: never. */
  readonly timedAt?: number;
  /** Only look from this test on, to save time. */
  readonly from?: number;
  /**
   * The rest of the studio tells its scatter, to a fifth of it [natural logarithm, standard deviation 0.2], and each
   * combination's differs from it as much again.
   */
  readonly isStudioKnown?: boolean;
}

function scatterOfOthers({ seed, printScatter, isStudioKnown = false }: StreamPlan): Scatter | null {
  if (!isStudioKnown) return null;
  const off = 0.2 * Math.SQRT2 * seededRandom(seed + 1_000_000).normal();
  return { median: printScatter * Math.exp(off), logSigma: Math.hypot(0.2, scatterDiffers) };
}

function tailOf(random: Random, tails: "normal" | "heavy"): number {
  if (tails === "normal") return random.normal();
  const squares = Array.from({ length: 4 }, () => random.normal() ** 2).reduce((a, b) => a + b, 0);
  return random.normal() / Math.sqrt(squares / 4) / Math.SQRT2;
}

function testsOf({ seed, printScatter, tails = "normal", tests, changeAt, change = 0 }: StreamPlan): Observation[] {
  const random = seededRandom(seed);
  const sigma = 0.015;
  return Array.from({ length: tests }, (_, i): Observation => {
    const isChanged = changeAt !== undefined && i + 1 >= changeAt;
    return {
      id: `t${i}`,
      lampId: "l",
      supportId: "s",
      coatingId: "c",
      batchId: null,
      film: null,
      distance: null,
      lampHours: null,
      humidityPercent: null,
      finish: unknownFinish,
      atMs: i * dayMs,
      tablet: null,
      seen: {
        kind: "measured",
        logSeconds: 2.7 + (isChanged ? change : 0) + printScatter * tailOf(random, tails) + sigma * random.normal(),
        sigma,
      },
    };
  });
}

export function streamOf(plan: StreamPlan): Stream {
  const { tests, changeAt, change = 0, timedAt = 0, from = 2 } = plan;
  const studio = scatterOfOthers(plan);
  const all = testsOf(plan);
  const alarms: number[] = [];
  const doubts: number[] = [];
  let error = 0;
  for (let n = from; n <= tests; n++) {
    const standing = ownTests(all.slice(0, n), studio);
    if (standing?.isNewestOdd || standing?.doDisagree) alarms.push(n);
    if (standing?.changedAtMs != null) doubts.push(n);
    const truth = 2.7 + (changeAt !== undefined && n >= changeAt ? change : 0);
    if (n === timedAt) error = predictTime(fitStudio(all.slice(0, n)), all[n - 1]!).calibration.logSeconds - truth;
  }
  return { alarms, error, doubts };
}
