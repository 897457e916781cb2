// The characteristic curve as a plot: measured steps with error bars, fitted curve with its band, toe, mid and
// shoulder.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { Curve, ExposureAdvice } from "#shared/schema/curve.ts";
import { formatDensity, formatLogH } from "#shared/format/number.ts";
import { topShownDensity } from "#shared/format/top-shown-density.ts";
import { timeAxis } from "#shared/format/time-axis.ts";
import { plotAxis, type PlotPoint, type PlotSeries, type PlotSpec } from "#shared/format/plot.ts";

/** A density this little below paper is noise and does not lower the axis. */
const lowestShownDensity = -0.03;

const leftOutWords = {
  reversal: "over-exposed, left out",
  wild: "far from the curve, left out",
  flagged: "flagged in the picture, left out",
} as const;

/** Finer than any screen, and a third of the letters in the page. */
function fine(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}

function curveLine(curve: Curve, name: string, look: number): PlotSeries {
  return {
    name,
    kind: "line",
    look,
    points: curve.samples.map(({ logH, density }) => ({ x: fine(logH), y: fine(density) })),
  };
}

function curveBand(curve: Curve, name: string, look: number): PlotSeries {
  return {
    name,
    kind: "band",
    look,
    points: curve.samples.map(({ logH, density, lower, upper }) => ({
      x: fine(logH),
      y: fine(density),
      lower: fine(lower),
      upper: fine(upper),
    })),
  };
}

function measuredSteps(curve: Curve, name: string, look: number): PlotSeries {
  return {
    name,
    kind: "points",
    look,
    points: curve.steps.map((step) => ({
      x: fine(step.logH),
      y: fine(step.density),
      lower: fine(step.density - rangeSigmas * step.sigma),
      upper: fine(step.density + rangeSigmas * step.sigma),
      leftOut: step.leftOut !== null,
      label:
        `Step ${step.index}: density ${formatDensity(step.density)} ± ${formatDensity(rangeSigmas * step.sigma)} at ` +
        `log H ${formatLogH(step.logH)}${step.leftOut === null ? "" : ` (${leftOutWords[step.leftOut]})`}`,
    })),
  };
}

function namedPoints(curve: Curve): PlotPoint[] {
  const { toe, mid, shoulder } = curve.points;
  return [
    ...(toe === null ? [] : [{ x: toe.logH, y: toe.density, label: "toe" }]),
    ...(mid === null ? [] : [{ x: mid.logH, y: mid.density, label: "mid" }]),
    ...(shoulder === null ? [] : [{ x: shoulder.logH, y: shoulder.density, label: "shoulder" }]),
  ];
}

function axesOf(curves: readonly Curve[]): Pick<PlotSpec, "x" | "y"> {
  const steps = curves.flatMap((curve) => curve.steps);
  const samples = curves.flatMap((curve) => curve.samples);
  const densities = [0, ...steps.map((step) => step.density), topShownDensity(curves)];
  const channel = curves[0]?.channel === "visual" ? "visual" : "red";
  return {
    x: {
      ...plotAxis(
        "log H (log10 of seconds in clear light)",
        [...steps.map((step) => step.logH), ...samples.map((sample) => sample.logH)],
        { count: 7 },
      ),
      readAs: "log-seconds",
    },
    y: plotAxis(`${channel} density above paper`, densities, {
      count: 6,
      ...(densities.some((density) => density < lowestShownDensity) ? {} : { from: 0 }),
    }),
  };
}

/**
 * The curve as a page shows it beside its answer: where no time is told, the strip does not prove the deepest blue, and
 * the fit's own shoulder is neither marked nor counted from.
 */
export function curveAsTold(curve: Curve, { seconds }: Pick<ExposureAdvice, "seconds">): Curve {
  if (seconds !== null) return curve;
  return { ...curve, points: { ...curve.points, shoulder: null }, logExposureRange: null, averageGradient: null };
}

/** The plot of one test's curve. */
export function curvePlot(curve: Curve): PlotSpec {
  return {
    title: "Characteristic curve",
    summary:
      `Density against exposure, from ${formatDensity(curve.dMin)} on paper to ` +
      `${formatDensity(curve.steps.reduce((most, step) => Math.max(most, step.density), 0))} in the darkest step; ` +
      `${curve.steps.length} steps measured, shaded where the curve lies with 95 % confidence.`,
    ...axesOf([curve]),
    series: [
      curveBand(curve, "95 % band", 1),
      curveLine(curve, "fitted curve", 1),
      measuredSteps(curve, "measured steps (bars: 95 %)", 1),
      { name: "toe, mid and shoulder", kind: "marks", look: 2, points: namedPoints(curve) },
    ],
  };
}

/** Several curves over each other, each with its own line, marker and colour. */
export function overlaidCurvesPlot(curves: readonly { readonly name: string; readonly curve: Curve }[]): PlotSpec {
  const axes = axesOf(curves.map(({ curve }) => curve));
  const logHs = curves.flatMap(({ curve }) => [...curve.steps, ...curve.samples].map(({ logH }) => logH));
  const x = timeAxis("time in clear light", logHs);
  return {
    title: "Curves over each other",
    overlaid: true,
    summary:
      `The characteristic curves of ${curves.map(({ name }) => name).join(", ")}. A curve further to the left needs ` +
      "less light; each doubling of the time is one stop.",
    x,
    y: axes.y,
    above: { label: "log H", ticks: axes.x.ticks.filter(({ at }) => at >= x.min && at <= x.max) },
    series: curves.flatMap(({ name, curve }, index) => [
      { ...curveBand(curve, `${name}: 95 % band`, index + 1), unkeyed: true },
      curveLine(curve, name, index + 1),
      { ...measuredSteps(curve, `${name}: steps`, index + 1), unkeyed: true },
    ]),
  };
}
