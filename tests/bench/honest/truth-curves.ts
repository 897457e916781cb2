// Characteristic curves with known truth that none of the fitted shapes describes. Each family has a few numbers of its
// own, drawn evenly within limits, so that a fit which knows the family can be given the same knowledge.
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";
import type { Random } from "#shared/statistics/random.ts";

/** Share (0-1) of the net density against log exposure. */
type Share = (x: number) => number;

interface Family {
  /** Limits of each of the family's own numbers. */
  readonly limits: readonly (readonly [number, number])[];
  readonly share: (own: readonly number[]) => Share;
}

/** A true coating: density above paper by log H. */
export interface TrueCoating {
  readonly family: FamilyName;
  readonly own: readonly number[];
  readonly dMin: number;
  readonly net: number;
  /** log H of 90 % of the net density. */
  readonly shoulder: number;
  /** log H from 4 to 90 % of the net density. */
  readonly range: number;
}

const logistic = (z: number) => 1 / (1 + Math.exp(-z));

const families = {
  "layered Kubelka-Munk": {
    limits: [
      [0.03, 0.25],
      [0.5, 2.5],
    ],
    share: ([mask, absorption]) => layered(mask!, absorption!),
  },
  gompertz: { limits: [], share: () => (x) => Math.exp(-Math.exp(-3 * x)) },
  // The share of light that is absorbed follows Hill's curve; density is its logarithm.
  hill: {
    limits: [[0.9, 0.985]],
    share:
      ([most]) =>
      (x) =>
        Math.log10(1 - most! * logistic(4 * x)) / Math.log10(1 - most!),
  },
  "two populations": {
    limits: [
      [0.5, 0.75],
      [0.3, 0.8],
      [4, 7],
    ],
    share:
      ([weight, apart, rate]) =>
      (x) =>
        weight! * logistic(rate! * x) + (1 - weight!) * logistic(rate! * (x - apart!)),
  },
  "straight line, hard corners": {
    limits: [[0.01, 0.05]],
    share:
      ([corner]) =>
      (x) => {
        const soft = (z: number) => corner! * (z > 30 * corner! ? z / corner! : Math.log1p(Math.exp(z / corner!)));
        return Math.min(1, soft(x) - soft(x - 1));
      },
  },
  "log-logistic, slow shoulder": {
    limits: [
      [2, 3.5],
      [0.4, 0.8],
    ],
    share:
      ([rate, slowness]) =>
      (x) =>
        -Math.expm1(-slowness! * Math.log1p(10 ** (rate! * x))),
  },
  // Kept back: looked at for the report only, never while the method was tuned.
  "many hits": {
    limits: [
      [1.5, 6],
      [0.7, 1.6],
    ],
    share:
      ([hits, power]) =>
      (x) =>
        (-Math.expm1(-(10 ** (power! * x)))) ** hits!,
  },
  "uneven slope": {
    limits: Array.from({ length: 8 }, () => [-0.45, 0.45] as const),
    share: (own) => unevenSlope(own),
  },
} as const satisfies Record<string, Family>;

export type FamilyName = keyof typeof families;

/** Families that the method may be tuned on, and those kept for the report. */
export const tuningFamilies: readonly FamilyName[] = [
  "layered Kubelka-Munk",
  "gompertz",
  "hill",
  "two populations",
  "straight line, hard corners",
  "log-logistic, slow shoulder",
];
export const keptBackFamilies: readonly FamilyName[] = ["many hits", "uneven slope"];

/** Limits of the log H from 4 to 90 % of the net density. common practice, no source */
export const rangeLimits = [0.9, 1.7] as const;

/** Limits of a family's own numbers. */
export function ownLimits(family: FamilyName): readonly (readonly [number, number])[] {
  return families[family].limits;
}

/** A coating of the family. Exposure ranges and densities: common practice, no source. */
export function drawCoating(random: Random, family: FamilyName): TrueCoating {
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  return {
    family,
    own: ownLimits(family).map(([low, high]) => between(low, high)),
    dMin: between(-0.005, 0.02),
    net: between(1.1, 1.8),
    shoulder: between(1.8, 2.6),
    range: between(...rangeLimits),
  };
}

/** Density of a coating by log H. */
export function densityOf({ family, own, dMin, net, shoulder, range }: TrueCoating): (logH: number) => number {
  const { share, high, width } = shapeOf(family, own);
  const stretch = range / width;
  return (logH) => dMin + net * share(high + (logH - shoulder) / stretch);
}

interface Shape {
  readonly share: Share;
  /** Where it reaches 90 %, and how far that lies from 4 %, in its own numbers. */
  readonly high: number;
  readonly width: number;
}

/** The shapes asked for last: a fit asks for one many times. */
const lastShapes = new Map<FamilyName, { readonly own: readonly number[]; readonly shape: Shape }>();

function shapeOf(family: FamilyName, own: readonly number[]): Shape {
  const last = lastShapes.get(family);
  if (last?.own.every((value, k) => value === own[k])) return last.shape;
  const share = families[family].share(own);
  const high = invert(share, 0.9);
  const shape = { share, high, width: high - invert(share, 0.04) };
  lastShapes.set(family, { own, shape });
  return shape;
}

/** log H at which a coating reaches a share of its net density. */
export function trueLogH(coating: TrueCoating, wanted: number): number {
  const density = densityOf(coating);
  return invert((logH) => (density(logH) - coating.dMin) / coating.net, wanted);
}

function invert(share: Share, wanted: number): number {
  let low = -8;
  let high = 12;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (share(middle) < wanted) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Ten layers that print in turn: the blue formed above swallows light that would have reached below. The reflectance of
 * the stack in red is Kubelka and Munk's, layer upon layer.
 * Source: Kubelka and Munk, Zeitschrift für technische Physik 12 (1931) 593, from memory.
 */
function layered(mask: number, absorption: number): Share {
  const layers = 10;
  const paper = 0.85;
  const xs: number[] = [];
  const densities: number[] = [];
  const formed = new Float64Array(layers);
  let before = 0;
  for (let x = -3; x <= 3.6; x += 0.02) {
    const dose = 10 ** x;
    let light = dose - before;
    before = dose;
    for (let j = 0; j < layers; j++) {
      formed[j]! += (1 - formed[j]!) * -Math.expm1(-light);
      light *= Math.exp(-mask * (0.3 + formed[j]!));
    }
    let reflectance = paper;
    for (let j = layers - 1; j >= 0; j--) reflectance = overLayer(reflectance, 0.01 + absorption * formed[j]!);
    xs.push(x);
    densities.push(-Math.log10(reflectance));
  }
  const first = densities[0]!;
  const net = densities.at(-1)! - first;
  const curve = monotoneCubic(
    xs,
    densities.map((density) => (density - first) / net),
  );
  return (x) => monotoneCubicAt(curve, x);
}

/** Reflectance of one thin layer (scattering 0.05) over a ground. */
function overLayer(ground: number, absorption: number): number {
  const scattering = 0.05;
  const a = 1 + absorption / scattering;
  const b = Math.sqrt(a * a - 1);
  const coth = 1 / Math.tanh(b * scattering);
  return (1 - ground * (a - b * coth)) / (a - ground + b * coth);
}

/** A slope that swells and fades, uneven on its way. */
function unevenSlope(own: readonly number[]): Share {
  const xs: number[] = [-1.3];
  const ys: number[] = [0];
  const parts = 60;
  for (let i = 1; i <= parts; i++) {
    const at = i / parts;
    const place = at * (own.length - 1);
    const k = Math.min(own.length - 2, Math.floor(place));
    const uneven = own[k]! * (1 - (place - k)) + own[k + 1]! * (place - k);
    xs.push(-1.3 + 2.6 * at);
    ys.push(ys.at(-1)! + Math.sin(Math.PI * at) ** 2 * Math.exp(uneven));
  }
  const total = ys.at(-1)!;
  const curve = monotoneCubic(
    xs,
    ys.map((value) => value / total),
  );
  return (x) => monotoneCubicAt(curve, x);
}
