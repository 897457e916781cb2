// One test print with known truth, as the reading and the request that the program would get.
import { assessTest } from "#shared/advice/assess-test.ts";
import type { TestAssessment } from "#shared/advice/advice-facts.ts";
import type { BesidePatch, Reading, Tablet } from "#shared/schema/reading.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import {
  coatingFactor,
  drawErrors,
  drawnCondition,
  readDensity,
  type Condition,
  type DrawnErrors,
} from "./conditions.ts";
import { densityOf, drawCoating, trueLogH, type FamilyName, type TrueCoating } from "./truth-curves.ts";

export interface Strip {
  readonly steps: number;
  readonly increment: number;
}

export interface SimulatedPrint {
  readonly seed: number;
  readonly condition: Condition;
  readonly coating: TrueCoating;
  readonly strip: Strip;
  readonly testSeconds: number;
  readonly truth: number;
  readonly errors: DrawnErrors;
  readonly densities: readonly number[];
  /** The same of a second strip on the same sheet that lay the other way round, under another tablet of its kind. */
  readonly turnedDensities: readonly number[];
  /** Coating beside the strip that got the whole exposure. */
  readonly beside: readonly BesidePatch[];
}

/** Where the clearest step lies beyond the wanted depth [log10]: least and most. */
export type Margin = readonly [number, number];

export const margins = {
  good: [0.5, 1.2],
  "barely reaching": [0, 0.25],
  "too short": [-1, -0.05],
} as const satisfies Record<string, Margin>;

const strips: readonly Strip[] = [
  { steps: 21, increment: 0.15 },
  { steps: 31, increment: 0.1 },
  { steps: 21, increment: 0.15 },
  { steps: 31, increment: 0.1 },
  { steps: 11, increment: 0.3 },
];
/** Density of the clearest step on every label. */
const clearDensity = 0.05;
/** Scatter of one step that no label speaks of: reading as stated, and the coating's own grain [density]. */
export const statedSigma = 0.006;
export const coatingGrain = 0.006;
export const share = 0.9;

/** One print by number: the same number is the same print for ever. */
export function simulatedPrint({
  seed,
  families,
  condition: asked,
  margin,
}: {
  seed: number;
  families: readonly FamilyName[];
  condition: Condition;
  margin: Margin;
}): SimulatedPrint {
  const random = seededRandom(seed);
  for (let i = 0; i < 5; i++) random.uniform();
  const coating = drawCoating(random, families[seed % families.length]!);
  const strip = strips[Math.floor(seed / families.length) % strips.length]!;
  const condition = drawnCondition(random, asked);
  const errors = drawErrors(random, condition);
  const truth = trueLogH(coating, share);
  const testSeconds = 10 ** (truth + clearDensity + margin[0] + (margin[1] - margin[0]) * random.uniform());
  const read = (gradient: number) =>
    readSteps({ random, coating, strip, testSeconds, errors: { ...errors, gradient }, condition });
  return {
    seed,
    condition,
    coating,
    strip,
    testSeconds,
    truth,
    errors,
    densities: read(errors.gradient),
    turnedDensities: read(-errors.gradient),
    beside: readBeside({ random, coating, testSeconds, errors }),
  };
}

const besidePlaces = 16;
/** How coating beside the strip changes otherwise than under it, each side, and how its level differs [share]. */
export const sidewaysShare = 0.005;
const levelShare = 0.02;

/** Coating on either side of the strip: no tablet lay there, and it has its own grain and its own small changes. */
function readBeside({
  random,
  coating,
  testSeconds,
  errors,
}: Pick<SimulatedPrint, "coating" | "testSeconds" | "errors"> & { readonly random: Random }): BesidePatch[] {
  const full = densityOf(coating)(Math.log10(testSeconds));
  return (["above", "below"] as const).flatMap((side) => {
    const own = {
      gradient: errors.gradient + sidewaysShare * random.normal(),
      bow: errors.bow + sidewaysShare * random.normal(),
    };
    const level = 1 + levelShare * random.normal();
    return Array.from({ length: besidePlaces }, (_, i): BesidePatch => {
      const place = (2 * (i + 0.5)) / besidePlaces - 1;
      const printed = full * level * coatingFactor(place, own) + coatingGrain * random.normal();
      const red = readDensity({ density: printed, ...errors }) + statedSigma * random.normal();
      return { place, side, red, visual: red, sigma: statedSigma };
    });
  });
}

/** Label density of each step, clearest first. */
export function labels({ steps, increment }: Strip): number[] {
  return Array.from({ length: steps }, (_, i) => clearDensity + i * increment);
}

function readSteps({
  random,
  coating,
  strip,
  testSeconds,
  errors,
  condition,
}: {
  random: Random;
  coating: TrueCoating;
  strip: Strip;
  testSeconds: number;
  errors: DrawnErrors;
  condition: Condition;
}): number[] {
  const density = densityOf(coating);
  return labels(strip).map((label, i) => {
    const real = errors.base + (1 + errors.scale) * label + condition.tabletStep * random.normal();
    const place = (2 * i) / (strip.steps - 1) - 1;
    const printed =
      density(Math.log10(testSeconds) - real) * coatingFactor(place, errors) + coatingGrain * random.normal();
    return readDensity({ density: printed, ...errors }) + statedSigma * random.normal();
  });
}

/** What the program is told beside one strip. */
export interface Knowledge {
  readonly isCoatingTold: boolean;
  readonly isPaired?: boolean;
  readonly earlierSheets?: number;
  readonly isBesideSeen?: boolean;
}

/** How well a pair of strips shows its sheet's slope [share]. */
const slopeSigma = 0.003;

/** Slopes that earlier sheets of the condition's coatings showed. */
function earlierSlopes({ seed, condition }: SimulatedPrint, sheets: number) {
  const random = seededRandom(seed + 31);
  for (let i = 0; i < 5; i++) random.uniform();
  return Array.from({ length: sheets }, () => ({
    share: condition.gradient * random.normal() + slopeSigma * random.normal(),
    sigmaShare: slopeSigma,
  }));
}

/**
 * What the program says of the print.
 * @param isCoatingTold whether it is told how uneven the coatings of the condition are; otherwise it goes by what is
 *   usual
 * @param earlierSheets so many sheets of the same coating were read before, each head to tail
 * @param isBesideSeen whether the picture shows exposed coating along both sides of the strip
 * @param isPaired whether it reads the strip that lay head to tail with it too
 */
export function assessed(
  print: SimulatedPrint,
  { isCoatingTold, isPaired = false, earlierSheets = 0, isBesideSeen = false }: Knowledge,
): TestAssessment {
  const { strip, condition, densities, testSeconds } = print;
  const tablet: Tablet = {
    kind: "transmission",
    steps: strip.steps,
    increment: strip.increment,
    firstDensity: clearDensity,
    toleranceDensity: condition.tabletStep,
    ...(condition.isTabletCalibrated
      ? { scaleSigmaShare: condition.tabletScale, baseSigmaDensity: condition.tabletBase }
      : {}),
  };
  return assessTest({
    request: {
      tablet,
      lampId: "lamp",
      supportId: "support",
      coatingId: "coating",
      exposureSeconds: testSeconds,
      channel: "red",
      targetShare: share,
      filmInTest: false,
      name: "",
      notes: "",
    },
    reading: {
      ...readingOf(densities, strip, condition.isPhoto),
      ...(isBesideSeen ? { coatingBeside: print.beside } : {}),
    },
    filmDensity: null,
    earlierSlopes: earlierSlopes(print, earlierSheets),
    ...(isPaired ? { turnedSteps: readingOf(print.turnedDensities, strip, condition.isPhoto).steps } : {}),
    ...(isCoatingTold ? { coatingEvenness: { coatingGradient: condition.gradient, coatingBow: condition.bow } } : {}),
  });
}

function readingOf(densities: readonly number[], strip: Strip, isPhoto: boolean): Reading {
  const inputs = labels(strip);
  const box = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ] as Reading["location"]["corners"];
  return {
    image: { width: 1000, height: 200, bitsPerChannel: 8, profile: "sRGB" },
    location: { method: "given", corners: box, confidence: 1 },
    steps: densities.map((red, i) => ({
      index: i + 1,
      input: inputs[i]!,
      red,
      visual: red,
      lightness: 50,
      sigma: statedSigma,
      sigmaVisual: statedSigma,
      centre: [i, 1],
      box,
      flags: [],
    })),
    warnings: isPhoto ? [{ code: "tone-unchecked", message: "" }] : [],
  };
}
