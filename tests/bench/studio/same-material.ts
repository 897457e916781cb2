// One material printed and tested twice, and two that differ: how often are they called different?
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { compareTests, type TestToCompare } from "#shared/lookup/compare-tests.ts";
import type { Curve } from "#shared/schema/curve.ts";
import {
  seededRandom,
  shapeNames,
  simulatedCoating,
  simulatedSteps,
  tabletPlans,
  trueLogHAtShare,
} from "./simulated-tests.ts";
import type { Print } from "../main.ts";

export const title = "comparisons: the same material twice";

export interface SameMaterial {
  readonly pairs: number;
  /** Pairs whose times, and whose maxima, were called different. */
  readonly timesDiffer: number;
  readonly maximaDiffer: number;
}

/**
 * Pairs of prints of one coating: speed, depth and unevenness differ as from print to print.
 * @param printScatter true scatter of log speed [log10]
 * @param printSpread what the comparison is told of it
 */
export function sameMaterial(options: {
  count: number;
  firstSeed: number;
  printScatter: number;
  printSpread: number;
  depthScatter: number;
}): SameMaterial {
  let [pairs, timesDiffer, maximaDiffer] = [0, 0, 0];
  for (let seed = options.firstSeed; seed < options.firstSeed + options.count; seed++) {
    const random = seededRandom(seed);
    const coating = simulatedCoating(random, shapeNames[seed % shapeNames.length]!);
    const prints = [0, 1].map((): Curve | null => {
      const shift = options.printScatter * random.normal();
      const depth = 1 + options.depthScatter * random.normal();
      const print = { ...coating, density: (logH: number) => depth * coating.density(logH + shift) };
      const steps = simulatedSteps({
        random,
        coating: print,
        plan: tabletPlans[0]!,
        logSeconds: trueLogHAtShare(coating, 0.9) + 0.7,
        scatter: { independent: 0.008, wave: 0.008, memory: 0.6 },
        sigma: 0.006,
      });
      return fitCharacteristicCurve({ channel: "red", steps });
    });
    const [pair] = compareTests(prints.map((curve, i) => named(`${i}`, curve, options.printSpread))).pairs;
    if (!pair?.timeRatio || !pair.dMaxDifference) continue;
    pairs++;
    if (pair.timeRatio.lower > 1 || pair.timeRatio.upper < 1) timesDiffer++;
    if (pair.dMaxDifference.lower > 0 || pair.dMaxDifference.upper < 0) maximaDiffer++;
  }
  return { pairs, timesDiffer, maximaDiffer };
}

function named(id: string, curve: Curve | null, printSpread: number): TestToCompare {
  const thing = { id: "one", name: "one" };
  return {
    id,
    name: id,
    madeAt: "2026-01-01T12:00:00Z",
    lamp: thing,
    support: thing,
    coating: thing,
    film: null,
    channel: "red",
    filmInTest: false,
    isUnderSun: false,
    hasTime: true,
    curve,
    cameraSigma: 0,
    densityScale: "colour",
    isToneUnknown: false,
    printSpread,
  };
}

export async function run(print: Print): Promise<void> {
  const count = 100;
  for (const [printScatter, printSpread] of [
    [0.01, 0.036],
    [0.02, 0.036],
    [0.03, 0.036],
    [0.05, 0.05],
  ] as const) {
    for (const depthScatter of [0, 0.015, 0.03]) {
      const { pairs, timesDiffer, maximaDiffer } = sameMaterial({
        count,
        firstSeed: 20_000,
        printScatter,
        printSpread,
        depthScatter,
      });
      const percent = (n: number): string => `${((100 * n) / pairs).toFixed(1)} %`;
      print(
        `scatter ${printScatter} (told ${printSpread}), depth ${100 * depthScatter} %: ${pairs} pairs, times ` +
          `called different ${percent(timesDiffer)}, maxima ${percent(maximaDiffer)} (goal 5 %)`,
      );
    }
  }
}
