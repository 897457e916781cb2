// Cloudy hours with a witness strip beside the frame: how near the dose that it tells comes to the true one.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import { doseBetween, doseTable } from "#shared/sun/dose.ts";
import { witnessCommonSigmaLn } from "#shared/prints/witness-steps.ts";
import { witnessedDose, type WitnessStep } from "#shared/sun/frames/witness-strip.ts";
import { readyScene } from "#shared/sun/sky/printing-strength.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import type { Print } from "./main.ts";
import { figureLine, heading, quantile } from "./statistics.ts";

export const title = "witness strips under broken cloud";

const firstSeed = 240_000;
const count = 400;
const goalStops = 0.15;

const startMs = Date.parse("2026-06-10T13:00:00Z");
const minuteMs = 60_000;
const table = doseTable(
  readyScene(sceneFrom({ latitude: 38.72, longitude: -9.14, tiltDegrees: 0, facingDegrees: 0 })),
  { startMs, endMs: startMs + 120 * minuteMs, stepSeconds: 60 },
);
const clearDose = (fromMs: number, untilMs: number): number => doseBetween(table, fromMs, untilMs);

/**
 * Broken cloud, a made-up sky: the sun comes and goes in stretches of minutes; what clouds let through differs from
 * one to the next.
 */
function brokenCloud(random: Random, minutes: number): number[] {
  let isHidden = random.uniform() < 0.5;
  let share = 0.45;
  return Array.from({ length: minutes }, () => {
    if (random.uniform() < 0.15) {
      isHidden = !isHidden;
      share = isHidden ? 0.25 + 0.5 * random.uniform() : 0.9 + 0.2 * random.uniform();
    }
    return isHidden ? share : Math.max(share, 0.9);
  });
}

/** The coating: density over log10 dose, a logistic curve whose middle a clear ten minutes reach. */
const middle = Math.log10(clearDose(startMs, startMs + 10 * minuteMs));
const netDensity = 1.35;
const steepness = 4.6;
const densityAt = (dose: number): number => netDensity / (1 + Math.exp(-steepness * (Math.log10(dose) - middle)));

export interface CloudyOutcome {
  readonly stopsOff: number;
  readonly isHeld: boolean;
  readonly cloudStops: number;
}

/** Parts of the time at which the steps of a strip are uncovered. */
const uncoveredAt = {
  six: [0, 0.4, 0.6, 0.75, 0.85, 0.92],
  eight: [0, 0.2, 0.4, 0.55, 0.68, 0.78, 0.86, 0.92],
} as const;

/**
 * One cloudy hour: the strip's steps are uncovered at parts of the time.
 * @param scatterLogH how far two prints of one coating differ, standard deviation of log H
 */
export function cloudyHour(
  seed: number,
  scatterLogH: number,
  parts: readonly number[] = uncoveredAt.six,
): CloudyOutcome {
  const random = seededRandom(seed);
  const minutes = 20 + Math.floor(random.uniform() * 40);
  const shares = brokenCloud(random, minutes);
  const trueDose = (fromMinute: number): number =>
    shares.slice(fromMinute).reduce((sum, share, index) => {
      const fromMs = startMs + (fromMinute + index) * minuteMs;
      return sum + share * clearDose(fromMs, fromMs + minuteMs);
    }, 0);
  const untilMs = startMs + minutes * minuteMs;
  // The strip is of the same coating as the curve, on another sheet of the batch; steps are read within 0.01 density.
  const sheet = scatterLogH * random.normal();
  const steps = parts.map((part): WitnessStep => {
    const fromMinute = Math.floor(minutes * part);
    const density = densityAt(trueDose(fromMinute) * 10 ** sheet) + 0.01 * random.normal();
    const share = density / netDensity;
    const isTold = share > 0.03 && share < 0.97;
    const slope = steepness * netDensity * share * (1 - share);
    const logDose = middle + Math.log(share / (1 - share)) / steepness;
    return {
      fromMs: startMs + fromMinute * minuteMs,
      untilMs,
      dose: isTold ? 10 ** logDose : null,
      sigmaLn: Math.LN10 * Math.hypot(0.01, 0.01 / slope),
    };
  });
  const commonSigmaLn = witnessCommonSigmaLn;
  const told = witnessedDose({ steps, frame: { fromMs: startMs, untilMs }, clearDose, commonSigmaLn });
  const truth = trueDose(0);
  return {
    stopsOff: Math.abs(Math.log2((told?.likely ?? 0) / truth)),
    isHeld: told !== null && told.lowest <= truth && truth <= told.highest,
    cloudStops: Math.abs(Math.log2(truth / clearDose(startMs, untilMs))),
  };
}

/** @param print takes the lines of the table */
export async function run(print: Print): Promise<void> {
  print(heading);
  const cases = (["six", "eight"] as const).flatMap((steps) => [0, 0.01, 0.02].map((scatter) => ({ steps, scatter })));
  for (const { steps, scatter } of cases) {
    const hours = Array.from({ length: count }, (_, index) =>
      cloudyHour(firstSeed + index, scatter, uncoveredAt[steps]),
    );
    const off = hours.map(({ stopsOff }) => stopsOff);
    const held = hours.filter(({ isHeld }) => isHeld).length / count;
    // What differs between the strip's sheet and the curve's, no step of the strip can know.
    const unknowable = stopsFromLogH(scatter * rangeSigmas);
    const [median, ninety, most] = [0.5, 0.9, 0.95].map((share) => quantile(off, share).toFixed(3));
    print(
      figureLine(
        `dose off [stop], ${steps} steps, prints differ by ${scatter} log H`,
        `median ${median}, 90 % ${ninety}, 95 % ${most}; unknowable 95 % ${unknowable.toFixed(3)}; ` +
          `range holds ${(100 * held).toFixed(0)} %`,
        `95 % < ${goalStops}`,
        quantile(off, 0.95) < goalStops,
      ),
    );
  }
}
