// Invented studios for cross-validation: their spreads are drawn evenly, not from the model's own prior, and their noise has heavy tails.
import type { LogSpeedTest } from "#shared/lookup/additive-log-speed.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";

export function simulatedStudio(seed: number): LogSpeedTest[] {
  const random = seededRandom(seed);
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const whole = (low: number, high: number): number => Math.floor(between(low, high + 1));
  const effects = (count: number, spread: number): number[] =>
    Array.from({ length: count }, () => spread * random.normal());
  const lamps = effects(whole(1, 3), between(0.1, 0.5));
  const supports = effects(whole(2, 6), between(0.04, 0.2));
  const coatings = effects(whole(1, 4), between(0.04, 0.2));
  const combinationSpread = between(0.02, 0.08);
  const repeatSpread = between(0.02, 0.06);
  const level = between(2.0, 3.3);
  const tests: LogSpeedTest[] = [];
  for (const [l, lamp] of lamps.entries()) {
    for (const [s, support] of supports.entries()) {
      for (const [c, coating] of coatings.entries()) {
        if (random.uniform() > 0.6) continue;
        const combination = combinationSpread * random.normal();
        const repeats = random.uniform() < 0.2 ? 2 : 1;
        for (let n = 0; n < repeats; n++) {
          const sigma = between(0.01, 0.03);
          const noise = repeatSpread * heavyTailed(random) + sigma * random.normal();
          tests.push({
            lampId: `lamp ${l}`,
            supportId: `support ${s}`,
            coatingId: `coating ${c}`,
            logSeconds: level + lamp + support + coating + combination + noise,
            sigma,
          });
        }
      }
    }
  }
  return tests;
}

/** Student's t with 6 degrees of freedom, scaled to standard deviation 1. */
function heavyTailed(random: Random): number {
  const chi = Array.from({ length: 6 }, () => random.normal() ** 2).reduce((sum, value) => sum + value, 0);
  return random.normal() / Math.sqrt(chi / 6) / Math.sqrt(6 / 4);
}

/** Leaves out each combination in turn and asks whether the prediction's range holds its first test. */
export function crossValidate(
  tests: readonly LogSpeedTest[],
  predict: (
    known: readonly LogSpeedTest[],
    wanted: LogSpeedTest,
  ) => { lower: number; upper: number; logSeconds: number } | null,
): { isHeld: boolean; error: number; width: number }[] {
  const sameCombination = (a: LogSpeedTest, b: LogSpeedTest): boolean =>
    a.lampId === b.lampId && a.supportId === b.supportId && a.coatingId === b.coatingId;
  const firsts = tests.filter((test, index) => tests.findIndex((other) => sameCombination(test, other)) === index);
  return firsts.flatMap((test) => {
    const prediction = predict(
      tests.filter((other) => !sameCombination(test, other)),
      test,
    );
    if (prediction === null) return [];
    return [
      {
        isHeld: prediction.lower <= test.logSeconds && test.logSeconds <= prediction.upper,
        error: test.logSeconds - prediction.logSeconds,
        width: prediction.upper - prediction.lower,
      },
    ];
  });
}
