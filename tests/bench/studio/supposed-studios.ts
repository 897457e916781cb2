// Studios drawn as the model supposes them: every size from its own distribution, changes at their rates, blunders.
// Over many of them 95 % ranges should hold 95 %; under any one condition more or less.
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import { unknownFinish, type Circumstances, type Observation } from "#shared/studio-model/observation.ts";
import { spreadOf, spreadsAt, usualLogSeconds } from "#shared/studio-model/spreads.ts";
import { batchSpread } from "#shared/studio-model/unknowns.ts";
import { changeRates, oddBatchChance, unnotedSpread } from "#shared/studio-model/unnoted-changes.ts";
import { blunderShare, blunderSpread, tailDegrees } from "#shared/studio-model/likelihood.ts";
import { dayMs, tabletSigma, testSigma, type SimulatedStudio } from "./simulated-studios.ts";

/** So often each lamp, support and coating is taken: some are used more than others. */
const shares = [0.5, 0.3, 0.2];
/** Of each coating, one after the other. */
const batchesEach = 3;

interface Thing {
  readonly id: string;
  readonly effect: number;
  readonly steps: readonly { readonly at: number; readonly step: number }[];
}

/**
 * One studio; the same seed is the same studio for ever.
 * @param tests that it made, one a day
 */
export function supposedStudio(seed: number, tests: number): SimulatedStudio {
  const random = seededRandom(seed);
  const spreads = spreadsAt({ print: random.normal(), pair: random.normal(), reach: random.normal() });
  const level = usualLogSeconds.mean + usualLogSeconds.sigma * random.normal();
  const things = (kind: "lamp" | "support" | "coating"): Thing[] =>
    shares.map((share, i) => ({
      id: `${kind} ${i}`,
      effect: spreadOf(kind, spreads) * random.normal(),
      steps: stepsOf(random, changeRates[kind], share, tests),
    }));
  const [lamps, supports, coatings] = [things("lamp"), things("support"), things("coating")];
  const memory = new Map<string, number>();
  const once = (key: string, draw: () => number): number => {
    const known = memory.get(key) ?? draw();
    memory.set(key, known);
    return known;
  };
  const batchOf = (at: number): number => Math.min(batchesEach - 1, Math.floor((batchesEach * at) / tests));
  const truthOf = (l: number, s: number, c: number, at: number): number => {
    const [lamp, support, coating] = [lamps[l]!, supports[s]!, coatings[c]!];
    const drawn = (key: string, sigma: number): number => once(key, () => sigma * random.normal());
    const since = (thing: Thing): number =>
      thing.steps.reduce((sum, each) => sum + (each.at <= at ? each.step : 0), thing.effect);
    const batch = once(`batch ${c} ${batchOf(at)}`, () => {
      const odd = random.uniform() < oddBatchChance ? unnotedSpread : 0;
      return Math.hypot(batchSpread, odd) * random.normal();
    });
    return (
      level +
      since(lamp) +
      since(support) +
      since(coating) +
      drawn(`lc ${l} ${c}`, spreadOf("pair", spreads)) +
      drawn(`ls ${l} ${s}`, spreadOf("lesser-pair", spreads)) +
      drawn(`sc ${s} ${c}`, spreadOf("lesser-pair", spreads)) +
      drawn(`lsc ${l} ${s} ${c}`, spreadOf("combination", spreads)) +
      batch
    );
  };
  const circumstances = (l: number, s: number, c: number, at: number): Circumstances => ({
    lampId: `l${l}`,
    supportId: `s${s}`,
    coatingId: `c${c}`,
    batchId: `b${batchOf(at)}`,
    film: null,
    distance: null,
    lampHours: null,
    humidityPercent: null,
    finish: unknownFinish,
    atMs: at * dayMs,
  });
  const tabletError = tabletSigma * random.normal();
  const counts = new Map<string, number>();
  const observations = Array.from({ length: tests }, (_, at): Observation => {
    const [l, s, c] = [pick(random), pick(random), pick(random)];
    counts.set(`${l}${s}${c}`, (counts.get(`${l}${s}${c}`) ?? 0) + 1);
    const sigma = testSigma(random);
    const spread = Math.hypot(sigma, spreads.print);
    const isBlunder = random.uniform() < blunderShare;
    const error = isBlunder ? Math.hypot(spread, blunderSpread) * random.normal() : spread * student(random);
    const logSeconds = truthOf(l, s, c, at) + tabletError + error;
    return {
      ...circumstances(l, s, c, at),
      id: `t${at}`,
      tablet: { id: "tablet", sigma: tabletSigma },
      seen: { kind: "measured", logSeconds, sigma },
    };
  });
  const isSeen = (key: keyof Observation, id: string): boolean => observations.some((each) => each[key] === id);
  const combinations = Array.from({ length: shares.length ** 3 }, (_, i) => {
    const [l, s, c] = [Math.floor(i / 9), Math.floor(i / 3) % 3, i % 3] as const;
    return {
      isKnown: isSeen("lampId", `l${l}`) && isSeen("supportId", `s${s}`) && isSeen("coatingId", `c${c}`),
      of: circumstances(l, s, c, tests),
      truth: truthOf(l, s, c, tests),
      tests: counts.get(`${l}${s}${c}`) ?? 0,
      isChangeUnseen: false,
    };
  }).filter(({ isKnown }) => isKnown);
  return { observations, combinations, print: (_, truth) => truth + spreads.print * student(random) };
}

/** Steps of one thing: their rate for each of its own tests is drawn, they come at any test of the studio. */
function stepsOf(
  random: Random,
  rate: { readonly changes: number; readonly tests: number },
  share: number,
  tests: number,
): Thing["steps"] {
  const each = (gamma(random, rate.changes) / rate.tests) * share;
  return Array.from({ length: tests }, (_, at) => at + 1).flatMap((at) =>
    random.uniform() < 1 - Math.exp(-each) ? [{ at, step: unnotedSpread * random.normal() }] : [],
  );
}

/**
 * From a gamma distribution of scale 1.
 * @param shape at most 1
 * Source: from memory (Ahrens and Dieter's rejection).
 */
function gamma(random: Random, shape: number): number {
  for (;;) {
    const edge = (Math.E + shape) / Math.E;
    const place = edge * random.uniform();
    const at = place <= 1 ? place ** (1 / shape) : -Math.log((edge - place) / shape);
    if (random.uniform() <= (place <= 1 ? Math.exp(-at) : at ** (shape - 1))) return at;
  }
}

function student(random: Random): number {
  const squares = Array.from({ length: tailDegrees }, () => random.normal() ** 2).reduce((a, b) => a + b, 0);
  return random.normal() / Math.sqrt(squares / tailDegrees);
}

function pick(random: Random): number {
  let place = random.uniform();
  const found = shares.findIndex((share) => (place -= share) < 0);
  return found === -1 ? shares.length - 1 : found;
}
