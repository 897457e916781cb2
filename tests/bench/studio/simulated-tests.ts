// Invented tests with known truth: coatings whose curves are none of the shapes that the fit knows, tablets that are
// not quite what their label says, coatings brushed unevenly. Everything from a seed.
import type { CurveStep } from "#shared/curve/curve-step.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";
import { simpsonWeight } from "../../support/simpson-weight.ts";

export const shapeNames = [
  "sum of sigmoids",
  "weibull",
  "many-hit",
  "normal distribution",
  "random spline",
  "surface-limited",
  "self-masking",
] as const;
export type ShapeName = (typeof shapeNames)[number];

/** Share (0-1) of the net density against log exposure, about centred on 0. */
type Shape = (x: number) => number;

export interface SimulatedCoating {
  readonly shape: ShapeName;
  /** Density above paper by log H. */
  readonly density: (logH: number) => number;
  readonly net: number;
  readonly dMin: number;
}

export interface TabletPlan {
  readonly name: string;
  readonly steps: number;
  readonly increment: number;
  /** Standard deviation of a step about its label. */
  readonly sigmaLogH: number;
}

export interface Scatter {
  /** Independent from step to step, density. */
  readonly independent: number;
  /** Slow waves of the coating along the strip, density, with neighbouring steps correlated by `memory`. */
  readonly wave: number;
  readonly memory: number;
}

export const tabletPlans: readonly TabletPlan[] = [
  { name: "21 steps", steps: 21, increment: 0.15, sigmaLogH: 0.015 },
  { name: "31 steps", steps: 31, increment: 0.1, sigmaLogH: 0.015 },
  { name: "41 steps", steps: 41, increment: 0.05, sigmaLogH: 0.01 },
];

/** Tests of one kind are drawn by number: the same number is the same test for ever. */
export function simulatedCoating(random: Random, shape: ShapeName): SimulatedCoating {
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  const raw = drawShape(random, shape);
  // Stretched so that the range from 4 to 90 % is one that coatings have.
  const low = invert(raw, 0.03);
  const high = invert(raw, 0.9);
  const stretch = between(0.9, 1.7) / (high - low);
  const middle = between(1.8, 2.6);
  const net = between(1.1, 1.8);
  const dMin = between(-0.005, 0.02);
  return { shape, net, dMin, density: (logH) => dMin + net * raw((logH - middle) / stretch + high) };
}

/** Log exposure at which the coating reaches a share of its net density. */
export function trueLogHAtShare(coating: SimulatedCoating, share: number): number {
  return invert((x) => (coating.density(x) - coating.dMin) / coating.net, share);
}

/** Steps as a reading would give them. */
export function simulatedSteps({
  random,
  coating,
  plan,
  logSeconds,
  scatter,
  sigma,
}: {
  random: Random;
  coating: SimulatedCoating;
  plan: TabletPlan;
  logSeconds: number;
  scatter: Scatter;
  sigma: number;
}): CurveStep[] {
  let wave = random.normal() * scatter.wave;
  return Array.from({ length: plan.steps }, (_, i) => {
    const label = logSeconds - 0.05 - i * plan.increment;
    const received = label + plan.sigmaLogH * random.normal();
    wave = scatter.memory * wave + Math.sqrt(1 - scatter.memory ** 2) * scatter.wave * random.normal();
    const density = coating.density(received) + wave + Math.hypot(scatter.independent, sigma) * random.normal();
    const place = (2 * i) / (plan.steps - 1) - 1;
    return { index: i + 1, logH: label, sigmaLogH: 0.02, density, sigma, isFlagged: false, place };
  });
}

function drawShape(random: Random, shape: ShapeName): Shape {
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  switch (shape) {
    case "sum of sigmoids": {
      const weight = between(0.5, 0.8);
      const apart = between(0.2, 0.6);
      const [first, second] = [between(3.5, 6), between(3, 6)];
      return (x) => weight / (1 + Math.exp(-first * x)) + (1 - weight) / (1 + Math.exp(-second * (x - apart)));
    }
    case "weibull": {
      const power = between(0.9, 1.8);
      return (x) => -Math.expm1(-(10 ** (power * x)));
    }
    case "many-hit": {
      const hits = between(1.5, 5);
      return (x) => (-Math.expm1(-(10 ** x))) ** hits;
    }
    case "normal distribution": {
      return (x) => normalShare(2 * x);
    }
    case "random spline": {
      const x: number[] = [-1.2];
      const y: number[] = [0];
      let total = 0;
      const knots = 7;
      for (let k = 1; k <= knots; k++) {
        x.push(-1.2 + (2.6 * k) / knots);
        // Gains that swell and fade, each off by up to a third.
        total += Math.sin((Math.PI * (k - 0.3)) / (knots + 0.2)) ** 2 * between(0.67, 1.33);
        y.push(total);
      }
      const scaled = y.map((value) => value / total);
      const curve = monotoneCubic(x, scaled);
      return (at) => monotoneCubicAt(curve, at);
    }
    case "surface-limited": {
      const rate = between(3, 4.5);
      const deep = between(1.8, 2.6);
      const surface = between(0.02, 0.05);
      const density = (x: number) => -Math.log10((1 - surface) * 10 ** (-deep / (1 + Math.exp(-rate * x))) + surface);
      const most = -Math.log10((1 - surface) * 10 ** -deep + surface);
      return (x) => density(x) / most;
    }
    case "self-masking": {
      // The image swallows light that would have made more of it: dy/dH = (1 - y) 10^(-mask y) after a slow start.
      const mask = between(0.3, 0.8);
      const start = between(1, 2);
      const xs: number[] = [];
      const ys: number[] = [];
      let y = 0;
      for (let x = -3; x <= 3.0001; x += 0.01) {
        const dose = 10 ** x * Math.LN10 * 0.01;
        const slope = (1 - y) * 10 ** (-mask * y) * Math.min(1, (10 ** x) ** (start - 1) * 2);
        y = Math.min(1, y + slope * dose);
        xs.push(x);
        ys.push(y);
      }
      const last = ys[ys.length - 1]!;
      const curve = monotoneCubic(
        xs,
        ys.map((value) => value / last),
      );
      return (x) => monotoneCubicAt(curve, x);
    }
  }
}

function normalShare(z: number): number {
  // Logistic-free: series and continued fraction are overkill here; composite Simpson over the density.
  const n = 200;
  const low = -8;
  if (z <= low) return 0;
  const h = (z - low) / n;
  let sum = 0;
  for (let i = 0; i <= n; i++) {
    const t = low + i * h;
    sum += simpsonWeight(i, n) * Math.exp(-0.5 * t * t);
  }
  return Math.min(1, (sum * h) / 3 / Math.sqrt(2 * Math.PI));
}

function invert(shape: Shape, share: number): number {
  let low = -6;
  let high = 8;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (shape(middle) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

export { seededRandom };
