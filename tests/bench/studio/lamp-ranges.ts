// Ranges of a lamp's ageing and of reciprocity on invented tests: how often they hold the truth.
import { lampAgeing } from "#shared/lamp/lamp-ageing.ts";
import { shapeUncertaintyShare } from "#shared/lamp/distance-change.ts";
import { reciprocityExponent } from "#shared/lamp/reciprocity.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import type { Print } from "../main.ts";

export const title = "a lamp's ageing and reciprocity: do 95 % ranges hold";

const firstSeed = 920_000;
const trials = 4_000;
const scatters = [0.01, 0.03, 0.05];
/** Change of log speed in an hour, and what the reciprocity exponent truly is. */
const ageings = [0, -0.0002];
const exponents = [1, 0.95];

export async function run(print: Print): Promise<void> {
  print(`${trials} trials each, seeds from ${firstSeed}; goal 93-97 % of each row.`);
  let seed = firstSeed;
  for (const tests of [5, 6, 8, 12, 20]) {
    const rows = scatters.flatMap((scatter) =>
      ageings.map((slope) => heldOf(seededRandom(seed++), (random) => holdsAgeing(random, { tests, scatter, slope }))),
    );
    print(`ageing, ${String(tests).padStart(2)} tests: ${shown(rows)}`);
  }
  for (const tests of [3, 4, 6, 10]) {
    const rows = scatters.flatMap((scatter) =>
      exponents.map((exponent) =>
        heldOf(seededRandom(seed++), (random) => holdsReciprocity(random, { tests, scatter, exponent })),
      ),
    );
    print(`reciprocity, ${String(tests).padStart(2)} tests: ${shown(rows)}`);
  }
}

function holdsAgeing(random: Random, { tests, scatter, slope }: { tests: number; scatter: number; slope: number }) {
  const speeds = Array.from({ length: tests }, (_, i) => {
    const hours = 100 * i + 60 * random.uniform();
    return { hours, logSpeed: slope * hours + scatter * random.normal() };
  });
  const { lowerPer100Hours, upperPer100Hours } = lampAgeing(speeds);
  if (lowerPer100Hours === null || upperPer100Hours === null) throw new Error("no trend");
  return lowerPer100Hours <= 100 * slope && 100 * slope <= upperPer100Hours;
}

/** The lamp's shape is off by a share of every difference of light, the same for all tests of a trial. */
function holdsReciprocity(
  random: Random,
  { tests, scatter, exponent }: { tests: number; scatter: number; exponent: number },
): boolean {
  const off = 1 + shapeUncertaintyShare * random.normal();
  const made = Array.from({ length: tests }, (_, i) => {
    const logIrradiance = (0.6 * i) / (tests - 1);
    return { logIrradiance, logSeconds: 2 - (off * logIrradiance) / exponent + scatter * random.normal() };
  });
  const { lower, upper } = reciprocityExponent(made, shapeUncertaintyShare) ?? { lower: null, upper: null };
  return (lower === null || lower <= exponent) && (upper === null || exponent <= upper);
}

function heldOf(random: Random, holds: (random: Random) => boolean): number {
  let held = 0;
  for (let trial = 0; trial < trials; trial++) if (holds(random)) held++;
  return held / trials;
}

function shown(rows: readonly number[]): string {
  return rows.map((share) => `${(100 * share).toFixed(1)} %`).join(", ");
}
