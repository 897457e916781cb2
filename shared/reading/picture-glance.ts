// What a small copy of a picture shows at a glance, before anything is measured: is it sharp, light enough, near
// enough, free of glare? Found on the whole picture, without knowing where the strip lies: a hint, never a
// reason to refuse.
import { luminanceWeights } from "#shared/limits.ts";
import { valueAtRank } from "#shared/statistics/value-at-rank.ts";

/** A small upright copy in sRGB, eight bits a channel, red green blue by rows. */
export interface SmallCopy {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

/** What the small copy is like; shares of its pixels, levels 0-1 of luma. */
export interface PictureGlance {
  /** Level that all but the lightest hundredth stay under. */
  readonly lightLevel: number;
  /** Share of the pixels that are burnt out to white although the paper is not. */
  readonly highlightShare: number;
  /** Share of the pixels that are blue. */
  readonly blueShare: number;
  /** Longer side of where the blue lies, as a share of the picture's longer side. */
  readonly blueLengthShare: number;
  /** Pixels over which the sharpest edges of the copy rise; null where it has no strong edge. */
  readonly edgeWidthPx: number | null;
}

export type GlanceFact =
  | { readonly code: "picture-dark" }
  | { readonly code: "picture-glare" }
  | { readonly code: "picture-blurred" }
  | { readonly code: "picture-without-blue" }
  | { readonly code: "print-far"; readonly lengthShare: number };

/**
 * Limits beyond which a hint is given. common practice, no source; checked on rendered pictures that are known to be
 * sound, and on the same darkened, blurred and
 * with glare.
 */
const limits = {
  darkLevel: 0.4,
  glareShare: 0.002,
  blurredEdgePx: 6,
  leastBlueShare: 0.0005,
  farLengthShare: 0.08,
} as const;

/** Blue of the print, down to its paler steps: so much above red, in eight-bit values and as a ratio. */
const leastBlueRise = 14;
const blueAgainstRed = 1.12;
/** Eight-bit value from which a pixel holds no more than "white". */
const burntValue = 252;
/** Luma of paper above which white spots are paper itself rather than glare. */
const lightPaper = 0.93;
/** An edge is strong when it rises by this share of the picture's contrast over twice this reach [px]. */
const strongEdgeShare = 0.35;
const edgeReachPx = 8;
/** The sharpest tenth of the edges tells how sharp a picture is: soft ones are in every picture. */
const sharpestShare = 0.1;

const [redWeight, greenWeight, blueWeight] = luminanceWeights;

/** Looks at a small copy of a picture. */
export function glanceAt({ width, height, rgb }: SmallCopy): PictureGlance {
  const count = width * height;
  const luma = new Float32Array(count);
  const isBlue = new Uint8Array(count);
  let burnt = 0;
  for (let i = 0; i < count; i += 1) {
    const [red, green, blue] = [rgb[3 * i] ?? 0, rgb[3 * i + 1] ?? 0, rgb[3 * i + 2] ?? 0];
    // Luma: the weights of luminance on the codes as they are.
    luma[i] = (redWeight * red + greenWeight * green + blueWeight * blue) / 255;
    if (blue - red > leastBlueRise && blue > blueAgainstRed * red) isBlue[i] = 1;
    if (Math.min(red, green, blue) >= burntValue) burnt += 1;
  }
  const ordered = luma.slice();
  const levelAt = (share: number): number => valueAtRank(ordered, Math.floor(share * (count - 1)));
  const [dark, paper, lightLevel] = [levelAt(0.05), levelAt(0.95), levelAt(0.99)];
  const small = { width, height, luma, isBlue };
  return {
    lightLevel,
    highlightShare: paper < lightPaper ? burnt / count : 0,
    ...blueExtent(small),
    edgeWidthPx: sharpestEdgePx(small, strongEdgeShare * (paper - dark)),
  };
}

interface Small {
  readonly width: number;
  readonly height: number;
  readonly luma: Float32Array;
  readonly isBlue: Uint8Array;
}

/** Where the blue lies, without its outermost hundredths. */
function blueExtent({ width, height, isBlue }: Small): Pick<PictureGlance, "blueShare" | "blueLengthShare"> {
  const [columns, rows] = [new Float64Array(width), new Float64Array(height)];
  let blue = 0;
  isBlue.forEach((is, i) => {
    if (is === 0) return;
    blue += 1;
    columns[i % width]! += 1;
    rows[Math.floor(i / width)]! += 1;
  });
  const longest = Math.max(spanOf(columns, blue), spanOf(rows, blue));
  return { blueShare: blue / (width * height), blueLengthShare: longest / Math.max(width, height) };
}

function spanOf(counts: Float64Array, total: number): number {
  if (total === 0) return 0;
  const edge = total / 100;
  let sum = 0;
  let first = -1;
  let last = 0;
  counts.forEach((count, place) => {
    sum += count;
    if (first < 0 && sum > edge) first = place;
    if (sum < total - edge) last = place + 1;
  });
  return Math.max(0, last - first + 1);
}

function sharpestEdgePx({ width, height, luma }: Small, leastRise: number): number | null {
  const widths: number[] = [];
  const look = (i: number, stride: number): void => {
    const rise = Math.abs(luma[i + edgeReachPx * stride]! - luma[i - edgeReachPx * stride]!);
    if (!(rise > leastRise)) return;
    const slope = Math.abs(luma[i + stride]! - luma[i - stride]!) / 2;
    if (slope > 0) widths.push(rise / slope);
  };
  for (let y = edgeReachPx; y < height - edgeReachPx; y += 2)
    for (let x = edgeReachPx; x < width - edgeReachPx; x += 1) {
      look(y * width + x, 1);
      look(y * width + x, width);
    }
  if (widths.length < 100) return null;
  return valueAtRank(Float64Array.from(widths), Math.floor(sharpestShare * widths.length * edgePeakShare));
}

/** About this share of the places on an edge stand at its steepest: the others see the same edge from aside. */
const edgePeakShare = 0.5;

/** What to say about a picture at once, the gravest first; empty when nothing is doubtful. */
export function glanceFacts(glance: PictureGlance): GlanceFact[] {
  const facts: GlanceFact[] = [];
  if (glance.lightLevel < limits.darkLevel) facts.push({ code: "picture-dark" });
  if (glance.edgeWidthPx !== null && glance.edgeWidthPx > limits.blurredEdgePx) facts.push({ code: "picture-blurred" });
  if (glance.highlightShare > limits.glareShare) facts.push({ code: "picture-glare" });
  if (glance.blueShare < limits.leastBlueShare) facts.push({ code: "picture-without-blue" });
  else if (glance.blueLengthShare < limits.farLengthShare)
    facts.push({ code: "print-far", lengthShare: glance.blueLengthShare });
  return facts;
}
