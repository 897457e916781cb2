// The light over a bed from five and nine tablets: is the true difference inside the stated range?
import { evennessMap } from "#shared/evenness/evenness.ts";
import type { Print } from "../main.ts";
import { quantile } from "../statistics.ts";
import { bedKinds, simulatedBed, type BedKind } from "./simulated-beds.ts";

export const title = "evenness: worst to best of a bed from a few tablets";

/** Reporting seeds; what is plausible was chosen below 10,000. */
const firstSeed = 83_000;
const bedsEach = 200;

export interface BedCoverage {
  readonly held: number;
  readonly calledEven: number;
  readonly truth: readonly number[];
  readonly halfWidths: readonly number[];
  /** Ninths of beds: their light against the middle, inside its 95 % range. */
  readonly zonesHeld: number;
  readonly milliseconds: readonly number[];
}

/** @param knows whether the lamp is described */
export function bedCoverage(
  kind: BedKind,
  { count, beds, seed, knows }: { count: number; beds: number; seed: number; knows: boolean },
): BedCoverage {
  let [held, calledEven, zones, zonesHeld] = [0, 0, 0, 0];
  const [truth, halfWidths, milliseconds]: [number[], number[], number[]] = [[], [], []];
  for (let i = 0; i < beds; i++) {
    const { tablets, bed, lamp, light, worstToBestStops } = simulatedBed(kind, count, seed + i);
    const begun = performance.now();
    const map = evennessMap(tablets, bed, knows ? lamp : null);
    milliseconds.push(performance.now() - begun);
    const { lowerStops = 0, upperStops = 0 } = map;
    if (lowerStops <= worstToBestStops && worstToBestStops <= upperStops) held++;
    if (lowerStops === 0) calledEven++;
    truth.push(worstToBestStops);
    halfWidths.push((upperStops - lowerStops) / 2);
    for (const { x, y, stops, sigmaStops } of map.zones ?? []) {
      if (x === 0.5 && y === 0.5) continue;
      zones++;
      if (Math.abs(light(x, y) - light(0.5, 0.5) - stops) <= 1.96 * sigmaStops) zonesHeld++;
    }
  }
  return {
    held: held / beds,
    calledEven: calledEven / beds,
    truth,
    halfWidths,
    zonesHeld: zonesHeld / zones,
    milliseconds,
  };
}

export async function run(print: Print): Promise<void> {
  print(
    `${bedsEach} beds each, seeds from ${firstSeed}; tablets scatter by 0.035 stop. ` +
      "Goal: 93-97 % inside the range; an even bed, whose range begins at 0, lies in it always.",
  );
  const percent = (share: number): string => `${(100 * share).toFixed(1).padStart(5)} %`;
  for (const kind of bedKinds) {
    for (const count of [5, 9]) {
      for (const knows of [true, false]) {
        const { held, calledEven, truth, halfWidths, zonesHeld, milliseconds } = bedCoverage(kind, {
          count,
          beds: bedsEach,
          seed: firstSeed,
          knows,
        });
        print(
          `${kind.padEnd(18)} ${count} tablets, lamp ${knows ? "described" : "unknown  "}: held ${percent(held)}, ` +
            `truth ${quantile(truth, 0.5).toFixed(2)}, half ${quantile(halfWidths, 0.5).toFixed(2)} stop, ` +
            `may be even ${percent(calledEven)}, ninths held ${percent(zonesHeld)}, ` +
            `${quantile(milliseconds, 0.5).toFixed(0)} ms`,
        );
      }
    }
  }
}
