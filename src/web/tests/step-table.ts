// The steps of a reading: the table of densities, and the boxes over the picture.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDensity, formatFixed, formatLightness } from "#shared/format/number.ts";
import { ownBlues } from "#shared/prints/own-blues.ts";
import type { Reading } from "#shared/schema/reading.ts";
import { housePaper } from "#src/web/blues/sheet.ts";

export interface StepTable {
  /** What the densities count from. */
  readonly zero: string;
  readonly inputLabel: string;
  readonly rows: readonly {
    readonly index: number;
    readonly input: string;
    readonly red: string;
    readonly visual: string;
    readonly lightness: string;
    readonly sigma: string;
    readonly swatch: number;
    readonly flags: string;
  }[];
}

export interface MarkedPicture {
  readonly pictureId: string;
  readonly width: number;
  readonly height: number;
  readonly strip: string;
  readonly boxes: readonly {
    readonly points: string;
    readonly index: number;
    readonly x: number;
    readonly y: number;
    readonly isFlagged: boolean;
    readonly label: string;
  }[];
  /** Line and letter size that suit the picture's size, pixels of the picture. */
  readonly strokePx: number;
}

const inputLabels = {
  transmission: "tablet density",
  timed: "time",
  levels: "grey level",
  sheet: "grey level",
} as const;

/** What a flag of a step means, for people. */
const flagWords: Readonly<Record<string, string>> = {
  clipped: "too bright for the camera",
  crushed: "too dark for the camera",
  "out-of-gamut": "deeper blue than the picture can hold",
  uneven: "uneven inside",
  glare: "glare",
  "left-out": "left out",
};

function flagText(flags: readonly string[]): string {
  return flags.map(flagWord).join(", ");
}

function flagWord(flag: string): string {
  return flagWords[flag] ?? flag.replaceAll("-", " ");
}

/** L* of the deepest of the house's nine swatch tones: darker than most prints, so that all find theirs. */
const houseDeepest = 28;

/**
 * Position of a lightness among the nine swatch tones of the style sheet: 0 paper white to 8 deepest blue, the house's
 * or the print's own.
 */
function swatchOf(lightness: number, deepest: number): number {
  return Math.min(8, Math.max(0, Math.round((8 * (100 - lightness)) / Math.max(1, 100 - deepest))));
}

/** The strip and its sampled boxes over the picture, as SVG points. */
export function markedPicture(pictureId: string, reading: Reading): MarkedPicture {
  const pointsOf = (points: readonly (readonly [number, number])[]): string =>
    points.map(([x, y]) => `${formatPx(x)},${formatPx(y)}`).join(" ");
  return {
    pictureId,
    width: reading.image.width,
    height: reading.image.height,
    strip: pointsOf(reading.location.corners),
    strokePx: Math.max(1, Math.round(Math.max(reading.image.width, reading.image.height) / 400)),
    boxes: reading.steps.map((step) => ({
      points: pointsOf(step.box),
      index: step.index,
      x: step.centre[0],
      y: step.centre[1],
      isFlagged: step.flags.length > 0,
      label: [`Step ${step.index}: red density ${formatDensity(step.red)}`, ...step.flags.map(flagWord)].join(", "),
    })),
  };
}

function formatPx(value: number): string {
  return String(Math.round(value * 10) / 10);
}

const formatLevel = (level: number): string => formatFixed(level, Number.isInteger(level) ? 0 : 1);

/** How the table writes what each step got. */
const inputFormats: Readonly<Record<keyof typeof inputLabels, (input: number) => string>> = {
  transmission: formatDensity,
  timed: formatDuration,
  levels: formatLevel,
  sheet: formatLevel,
};

export function stepTable(reading: Reading, tabletKind: keyof typeof inputLabels): StepTable {
  const deepest = ownBlues(reading.steps, housePaper)?.deepestLightness ?? houseDeepest;
  return {
    zero: reading.sheet?.zero?.of === "own-white" ? "the sheet's own white (no bare paper was seen)" : "bare paper",
    inputLabel: inputLabels[tabletKind],
    rows: reading.steps.map((step) => ({
      index: step.index,
      input: inputFormats[tabletKind](step.input),
      red: formatDensity(step.red),
      visual: formatDensity(step.visual),
      lightness: formatLightness(step.lightness),
      sigma: formatFixed(step.sigma, 3),
      swatch: swatchOf(step.lightness, deepest),
      flags: flagText(step.flags),
    })),
  };
}

/** The flagged steps in a line, those with the same flags together: "Step 3: uneven inside. Steps 8, 9: left out." */
export function flagLine(rows: StepTable["rows"]): string | null {
  const stepsOf = new Map<string, number[]>();
  for (const { index, flags } of rows) if (flags !== "") stepsOf.set(flags, [...(stepsOf.get(flags) ?? []), index]);
  if (stepsOf.size === 0) return null;
  return [...stepsOf]
    .map(([flags, steps]) => `${steps.length === 1 ? "Step" : "Steps"} ${steps.join(", ")}: ${flags}.`)
    .join(" ");
}
