// Invented studios whose truth is known: lamps, papers, coatings and films, tests and prints, a lamp that changes, a
// bad batch.
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import {
  unknownFinish,
  type Circumstances,
  type FilmOver,
  type Observation,
} from "#shared/studio-model/observation.ts";

export interface StudioPlan {
  readonly seed: number;
  /** From print to print [log10]. */
  readonly printScatter: number;
  readonly tails: "normal" | "heavy";
  /** Standard deviation of what a pair of lamp and coating adds [log10]. */
  readonly interaction: number;
  /** What the model's own equations do not hold, beside all else. */
  readonly strangeness: "none" | "three-way" | "slow-drift" | "uneven-scatter" | "two-speeds" | "every-pair";
  /** Step of one lamp's log time, somewhere in the second half of the tests; 0: none. */
  readonly lampChange: number;
  readonly badBatch: boolean;
  readonly tests: number;
}

export interface SimulatedStudio {
  readonly observations: readonly Observation[];
  /** Combinations as they stand now, with their true log time; whether nobody tested their lamp since it changed. */
  readonly combinations: readonly {
    readonly of: Circumstances;
    readonly truth: number;
    readonly tests: number;
    readonly isChangeUnseen: boolean;
  }[];
  /** Log time of one print more of a combination. */
  readonly print: (of: Circumstances, truth: number) => number;
}

export const dayMs = 86_400_000;
/** Of the one tablet that an invented studio has [log10]. */
export const tabletSigma = 0.025;
/** A test's own standard uncertainty: anything from a good strip's to a poor one's [log10]. */
export const testSigma = (random: Random): number => 0.012 + 0.02 * random.uniform();
const levels = 3;

/** Student's t with 4 degrees of freedom, scaled to standard deviation 1. */
function heavy(random: Random): number {
  const squares = Array.from({ length: 4 }, () => random.normal() ** 2).reduce((a, b) => a + b, 0);
  return random.normal() / Math.sqrt(squares / 4) / Math.SQRT2;
}

export function simulatedStudio(plan: StudioPlan): SimulatedStudio {
  const random = seededRandom(plan.seed);
  const normals = (count: number, spread: number): number[] =>
    Array.from({ length: count }, () =>
      plan.strangeness === "two-speeds" ? spread * (random.uniform() < 0.5 ? -1 : 1) : spread * random.normal(),
    );
  const level = 2.6 + 0.3 * random.normal();
  const [lamps, supports, coatings] = [normals(levels, 0.3), normals(levels, 0.12), normals(levels, 0.12)];
  const pair = normals(levels * levels, plan.interaction);
  const triple = normals(levels ** 3, plan.strangeness === "three-way" ? 0.06 : 0);
  // A stream of its own, so that all else of a studio stays as it is without it.
  const others = seededRandom(plan.seed + 1_000_000);
  const everyPair = plan.strangeness === "every-pair" ? plan.interaction : 0;
  const otherPairs = (): number[] => Array.from({ length: levels * levels }, () => everyPair * others.normal());
  const [lampPaper, paperCoating] = [otherPairs(), otherPairs()];
  const drift = normals(levels, plan.strangeness === "slow-drift" ? 0.1 : 0);
  const roughness = supports.map(() => (plan.strangeness === "uneven-scatter" ? 0.5 + 1.2 * random.uniform() : 1));
  const films = [0.08, 0.16].map((density, i) => ({
    id: `f${i}`,
    density,
    truth: density + 0.02 * random.normal(),
  }));
  const tabletError = tabletSigma * random.normal();
  const changed = Math.floor(levels * random.uniform());
  const changeAt = Math.floor(plan.tests * (0.5 + 0.4 * random.uniform()));
  const bad = Math.floor(levels * random.uniform());
  const badFrom = Math.floor(plan.tests * 0.6 * random.uniform());
  const badTo = badFrom + Math.ceil(plan.tests * 0.25);
  const badStep = plan.badBatch ? 0.12 * random.normal() : 0;
  const batchEffects = normals(levels * 8, 0.03);
  const batchOf = (coating: number, at: number): number => {
    if (coating === bad && plan.badBatch) return [badFrom, badTo].filter((from) => at >= from).length;
    return Math.floor((at / Math.max(1, plan.tests)) * 2.999);
  };
  const scatter = (support: number): number =>
    plan.printScatter * roughness[support]! * (plan.tails === "heavy" ? heavy(random) : random.normal());
  const truthOf = (l: number, s: number, c: number, film: number | null, at: number): number =>
    level +
    lamps[l]! +
    supports[s]! +
    coatings[c]! +
    pair[l * levels + c]! +
    lampPaper[l * levels + s]! +
    paperCoating[s * levels + c]! +
    triple[(l * levels + s) * levels + c]! +
    (drift[l]! * at) / plan.tests +
    batchEffects[c * 8 + batchOf(c, at)]! +
    (l === changed && at >= changeAt ? plan.lampChange : 0) +
    (plan.badBatch && c === bad && batchOf(c, at) === 1 ? badStep : 0) +
    (film === null ? 0 : films[film]!.truth);
  const filmOf = (film: number | null): FilmOver | null =>
    film === null ? null : { id: films[film]!.id, density: films[film]!.density, commonSigma: 0.02, lampSigma: 0 };
  const circumstances = (l: number, s: number, c: number, film: number | null, at: number): Circumstances => ({
    lampId: `l${l}`,
    supportId: `s${s}`,
    coatingId: `c${c}`,
    batchId: `b${batchOf(c, at)}`,
    film: filmOf(film),
    distance: null,
    lampHours: null,
    humidityPercent: null,
    finish: unknownFinish,
    atMs: at * dayMs,
  });
  // Some materials are used more than others.
  const often = (): number => Math.min(levels - 1, Math.floor(levels * random.uniform() ** 1.6));
  const counts = new Map<string, number>();
  const observations = Array.from({ length: plan.tests }, (_, at): Observation => {
    const [l, s, c] = [often(), often(), often()];
    const film = random.uniform() < 0.3 ? Math.floor(2 * random.uniform()) : null;
    const sigma = testSigma(random);
    const key = `${l} ${s} ${c}`;
    counts.set(key, (counts.get(key) ?? 0) + 1);
    return {
      ...circumstances(l, s, c, film, at),
      id: `t${at}`,
      tablet: { id: "tablet", sigma: tabletSigma },
      seen: {
        kind: "measured",
        logSeconds: truthOf(l, s, c, film, at) + tabletError + scatter(s) + sigma * random.normal(),
        sigma,
      },
    };
  });
  const seen = (prefix: string, index: number): boolean =>
    observations.some((each) => [each.lampId, each.supportId, each.coatingId].includes(`${prefix}${index}`));
  const now = plan.tests;
  const combinations = Array.from({ length: levels ** 3 }, (_, i) => {
    const [l, s, c] = [Math.floor(i / 9), Math.floor(i / 3) % 3, i % 3];
    const film = random.uniform() < 0.5 ? null : Math.floor(2 * random.uniform());
    return {
      isKnown: seen("l", l) && seen("s", s) && seen("c", c),
      of: circumstances(l, s, c, film, now),
      truth: truthOf(l, s, c, film, now),
      tests: counts.get(`${l} ${s} ${c}`) ?? 0,
      isChangeUnseen:
        plan.lampChange !== 0 &&
        l === changed &&
        !observations.some(({ lampId }, at) => lampId === `l${l}` && at >= changeAt),
    };
  }).filter(({ isKnown }) => isKnown);
  return {
    observations,
    combinations,
    print: (of, truth) => truth + scatter(Number(of.supportId.slice(1))),
  };
}
