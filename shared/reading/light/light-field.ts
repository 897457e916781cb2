// How bright unexposed paper is, or would be, at every place of the strip: a smooth surface through the paper around
// it.
import { dotProduct } from "#shared/statistics/dot-product.ts";
import { choleskyFactor, choleskySolve, forwardSubstitute } from "#shared/statistics/cholesky.ts";
import { biweight, robustSigma } from "#shared/statistics/robust.ts";

/** One patch of unexposed paper. */
export interface PaperCell {
  /** Place along (0-1 over the strip) and across it. */
  readonly u: number;
  readonly v: number;
  /** Natural logarithm of linear light: red, green, blue. */
  readonly logLight: readonly [number, number, number];
  /** Standard uncertainty of these logarithms. */
  readonly sigma: number;
}

export interface LightField {
  /** Natural logarithm of the light that unexposed paper returns at a place: red, green, blue. */
  readonly logAt: (u: number, v: number) => readonly [number, number, number];
  /** Standard uncertainty of these logarithms at a place (one value for all three). */
  readonly sigmaAt: (u: number, v: number) => number;
  /**
   * How far each of the surface's independent unknowns, at one standard deviation, moves these logarithms at a place.
   */
  readonly errorsAt: (u: number, v: number) => readonly number[];
  /** Cells that the fit believed. */
  readonly cellsUsed: number;
  /** Spread of the believed cells about the surface, natural logarithm. */
  readonly residual: number;
  /** Greatest minus least logarithm (red) over the strip: how uneven the light is. */
  readonly range: number;
}

/**
 * Terms of the surface, u and v running from -1 to 1 over the area, and how large each may reasonably be (natural
 * logarithm) when the area is `aspect` times as high as long: lamps near the print and lens fall-off.
 * Source: common practice, no source.
 */
const terms: readonly { readonly at: (u: number, v: number) => number; readonly size: (aspect: number) => number }[] = [
  { at: () => 1, size: () => 10 },
  { at: (u) => u, size: () => 0.6 },
  { at: (_u, v) => v, size: (aspect) => 0.6 * aspect },
  { at: (u) => u * u, size: () => 0.5 },
  { at: (u, v) => u * v, size: (aspect) => 0.5 * aspect },
  { at: (_u, v) => v * v, size: (aspect) => 0.5 * aspect ** 2 },
  { at: (u) => u ** 3, size: () => 0.15 },
  { at: (u, v) => u * u * v, size: (aspect) => 0.15 * aspect },
  { at: (u) => u ** 4, size: () => 0.15 },
];

/** The terms at a place. @param u and v 0-1 over the area */
function termsAt(u: number, v: number): Float64Array {
  const row = new Float64Array(terms.length);
  for (let k = 0; k < row.length; k++) row[k] = terms[k]!.at(2 * u - 1, 2 * v - 1);
  return row;
}

/**
 * Paper texture and stain make even clean cells differ by about this much (natural logarithm).
 * Source: common practice, no source.
 */
const leastCellSigma = 0.002;

/**
 * Smooth surface of paper brightness through cells of unexposed paper; robust against cells that are not.
 * Few cells give a flatter surface, since every term is held back by how large it may reasonably be.
 * @param cells paper cells, at least one
 * @param aspect height of the area as a share of its length
 * @throws RangeError for an empty list
 * Source: common practice, no source (Bayesian linear regression with Tukey weights)
 */
export function fitLightField(cells: readonly PaperCell[], { aspect }: { aspect: number }): LightField {
  if (cells.length === 0) throw new RangeError("A light field needs at least one cell of paper.");
  const n = terms.length;
  const sizes = terms.map((term) => term.size(aspect));
  const rows = cells.map((cell) => termsAt(cell.u, cell.v));
  const weights = new Float64Array(cells.length).fill(1);
  const system = { a: new Float64Array(n * n), b: [0, 1, 2].map(() => new Float64Array(n)) };
  const [inRed, inGreen] = [new Float64Array(cells.length), new Float64Array(cells.length)];
  let scale = 0.05;
  let factor: Float64Array = new Float64Array(0);
  let coefficients: Float64Array[] = [];
  for (let round = 0; round < 12; round++) {
    system.a.fill(0);
    for (let j = 0; j < n; j++) system.a[j * n + j] = sizes[j]! ** -2;
    for (const right of system.b) right.fill(0);
    for (let i = 0; i < rows.length; i++) {
      const w = weights[i]! / (cells[i]!.sigma ** 2 + scale ** 2);
      if (w > 0) addCell(system, rows[i]!, cells[i]!.logLight, w);
    }
    factor = choleskyFactor(system.a, n, { leastPivot: 1e-18 });
    coefficients = system.b.map((right) => choleskySolve(factor, right));
    for (let i = 0; i < rows.length; i++) {
      inRed[i] = cells[i]!.logLight[0] - dotProduct(rows[i]!, coefficients[0]!);
      inGreen[i] = cells[i]!.logLight[1] - dotProduct(rows[i]!, coefficients[1]!);
    }
    const spread = robustSigma(inRed, 0);
    scale = Math.max(leastCellSigma, round < 3 ? Math.max(spread, 0.02) : spread);
    for (let i = 0; i < rows.length; i++)
      weights[i] = biweight(Math.max(Math.abs(inRed[i]!), Math.abs(inGreen[i]!)) / Math.hypot(scale, cells[i]!.sigma));
  }
  const logAt = (u: number, v: number): readonly [number, number, number] => {
    const row = termsAt(u, v);
    return [dotProduct(row, coefficients[0]!), dotProduct(row, coefficients[1]!), dotProduct(row, coefficients[2]!)];
  };
  const errorsAt = (u: number, v: number) => [...forwardSubstitute(factor, termsAt(u, v))];
  const along = Array.from({ length: 21 }, (_, i) => logAt(i / 20, 0.5)[0]);
  return {
    logAt,
    sigmaAt: (u, v) => Math.hypot(...errorsAt(u, v)),
    errorsAt,
    cellsUsed: weights.filter((w) => w > 0.1).length,
    residual: scale,
    range: Math.max(...along) - Math.min(...along),
  };
}

/** Adds what one cell says to the lower triangle of the normal equations, and to their right sides. */
function addCell(
  { a, b }: { readonly a: Float64Array; readonly b: readonly Float64Array[] },
  row: Float64Array,
  logLight: PaperCell["logLight"],
  weight: number,
): void {
  const n = row.length;
  const [red, green, blue] = [b[0]!, b[1]!, b[2]!];
  for (let j = 0; j < n; j++) {
    const weighted = weight * row[j]!;
    for (let k = 0; k <= j; k++) a[j * n + k]! += weighted * row[k]!;
    red[j]! += weighted * logLight[0];
    green[j]! += weighted * logLight[1];
    blue[j]! += weighted * logLight[2];
  }
}

/** Light has to be this uneven (natural logarithm) before it is asked whether it is the strip's own fall. */
const leastFallJudged = 0.5;
/** What is left of the steps' fall once such light is taken out, as a share of the light's own. */
const leastFallLeft = 1;
/** Light and steps that fall along together agree at least so well (correlation). */
const leastAgreement = 0.75;

/**
 * Whether what was taken for paper gets darker along with the steps, and nearly as much: then it is the strip itself
 * going on beside the marked area, not paper under falling light.
 * @param steps natural logarithm of the light of paper as the field has it, and of the step itself (red), at each step
 * Source: common practice, no source (a lamp near a print falls off by less than the print's own tones do)
 */
export function fallsAlongWithSteps(steps: readonly { readonly paper: number; readonly step: number }[]): boolean {
  const rangeOf = (values: readonly number[]) => Math.max(...values) - Math.min(...values);
  const papers = steps.map(({ paper }) => paper);
  const tones = steps.map(({ step }) => step);
  const fall = rangeOf(papers);
  if (steps.length < 3 || fall < leastFallJudged) return false;
  const left = rangeOf(steps.map(({ paper, step }) => paper - step));
  return left < leastFallLeft * fall && correlation(papers, tones) > leastAgreement;
}

function correlation(x: readonly number[], y: readonly number[]): number {
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [mx, my] = [mean(x), mean(y)];
  let [xx, xy, yy] = [0, 0, 0];
  x.forEach((value, i) => {
    xx += (value - mx) ** 2;
    yy += (y[i]! - my) ** 2;
    xy += (value - mx) * (y[i]! - my);
  });
  return xy / Math.sqrt(Math.max(xx * yy, 1e-12));
}

/**
 * Even light of one paper tone, where there is no paper to fit a surface through.
 * @param logLight natural logarithm of the light that paper returns: red, green, blue
 * @param sigma standard uncertainty of these logarithms
 */
export function evenLightField(logLight: readonly [number, number, number], sigma: number): LightField {
  return {
    logAt: () => logLight,
    sigmaAt: () => sigma,
    errorsAt: () => [sigma],
    cellsUsed: 0,
    residual: sigma,
    range: 0,
  };
}
