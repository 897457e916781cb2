// Every step of a placed strip: tone, light, paper, boundaries, and what is worth knowing about them.
import { boxMarginShare } from "#shared/limits.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { blurOfBoundaries, boundaryShifts, type BoundaryProfile } from "#shared/reading/corners/boundary-shift.ts";
import { cellStatistics } from "#shared/reading/light/cell-statistics.ts";
import { exposedStep } from "#shared/reading/camera/exposed-step.ts";
import { stepsOffColourLine, type ColourDensities } from "#shared/reading/camera/colour-line.ts";
import { homographyFromCorners, inverseHomography, mapBox, mapPoint } from "#shared/reading/corners/homography.ts";
import {
  evenLightField,
  fallsAlongWithSteps,
  fitLightField,
  type LightField,
} from "#shared/reading/light/light-field.ts";
import { besidePatches } from "#shared/reading/light/beside-patches.ts";
import { cellsOfOneSurface } from "#shared/reading/light/one-surface.ts";
import { oddSteps } from "#shared/reading/odd-steps.ts";
import { choosePaper, type MarginCell, type PaperChoice } from "#shared/reading/light/paper-cells.ts";
import type { PictureLight, ReadingWarning, StripWarning } from "#shared/reading/reading-facts.ts";
import { stepDensities, type MeasuredStep, type StepDensities } from "#shared/reading/step-densities.ts";
import { unevennessSigmas, type StepBlocks } from "#shared/reading/light/unevenness.ts";
import type { BesidePatch, Corners, ReadingStep, Reference } from "#shared/schema/reading.ts";
import { type Raster } from "./decode/decode.ts";
import { farBands, marginCells, nearBands, type Band } from "./margin.ts";
import { pixelsOfCell, type CellBox, type StripMap } from "./sample.ts";
import { beyondPatches, correctTone } from "./reference/correct-tone.ts";
import { isOnCard } from "./reference/light-on-patches.ts";

/** Fewest patches of paper that flatten the light. */
const fewestPaperCells = 4;
/** With fewer patches than this, paper further away is looked for as well. */
const plentyPaperCells = 10;
/** Paper known better than this all along the strip (natural logarithm) need not be looked for further away. */
const surePaper = 0.02;
/**
 * Light over the strip more uneven than this (natural logarithm; half a stop) is worth telling.
 * Source: common practice, no source.
 */
const unevenLight = 0.35;
export interface StripMeasurement {
  readonly steps: ReadingStep[];
  /** Exposed coating along the strip's long sides; empty where none is seen. */
  readonly coatingBeside: readonly BesidePatch[];
  /** Softness of the boundaries in steps; null when none is clear. */
  readonly blurSteps: number | null;
  readonly clippedPaperShare: number;
  /** Light of each step and its paper; null where it is crushed or covered. */
  readonly lights: PictureLight["steps"];
  /** Whether reference patches were there and believed. */
  readonly isToneCorrected: boolean;
  readonly warnings: readonly ReadingWarning[];
}

/** Samples every step of a placed strip, with what is worth knowing about it. */
export function measureSteps(
  decoded: Raster,
  corners: Corners,
  inputs: readonly number[],
  reference?: Reference,
): StripMeasurement {
  const toPicture = homographyFromCorners(corners);
  const map: StripMap = { toPicture, toStrip: inverseHomography(toPicture) };
  const count = inputs.length;
  const profiles = boundaryProfiles(decoded, map, count);
  const shifts = boundaryShifts(profiles, count);
  const lightsOf = (raster: Raster) => lightOfSteps(raster, map, shifts).map(({ step }) => step);
  const { tone, warnings: toneWarnings } =
    reference === undefined ? { tone: null, warnings: [] } : correctTone(decoded, map, lightsOf, reference);
  const raster = tone?.raster ?? decoded;
  const measured = lightOfSteps(raster, map, shifts);
  const {
    field,
    near,
    clippedPaperShare,
    warning: paperWarning,
  } = paperField(
    raster,
    map,
    measured.map(({ step }) => step),
    corners,
    reference,
  );
  const beyond =
    tone === null
      ? []
      : beyondPatches(
          tone,
          measured.map(({ step }) => step.mean[0]),
          Math.max(...measured.map(({ step }) => Math.exp(field.logAt(step.u, step.v)[0]))),
        );
  const unevenness = unevennessSigmas(measured.map(({ step }) => blockDensities(step, field)));
  const toneSigma = (step: MeasuredStep) =>
    tone?.sigmaBetween(step.mean[0], Math.exp(field.logAt(step.u, step.v)[0])) ?? 0;
  const densities = measured.map(({ step }, i) =>
    stepDensities(step, field, {
      unevenness: unevenness[i]!,
      roundingCodes: raster.roundingCodes,
      toneSigma: toneSigma(step),
    }),
  );
  const colours =
    raster.channels === 1 ? [] : measured.map(({ step }, i) => colourDensities(step, densities[i]!, field));
  const odd = [
    ...oddSteps(
      densities.map((step) => step.red),
      densities.map((step) => step.sigma),
    ),
    ...(raster.channels === 1 ? [] : stepsOffColourLine(colours)),
  ];
  const steps = measured.map(({ box, step }, i) => ({
    index: i + 1,
    input: inputs[i]!,
    ...densities[i]!,
    ...(colours[i] === undefined ? {} : { green: colours[i].green, blue: colours[i].blue }),
    flags: odd.includes(i) ? [...new Set([...densities[i]!.flags, "left-out"])] : densities[i]!.flags,
    centre: mapPoint(toPicture, step.u, step.v),
    box: mapBox(toPicture, box),
  }));
  const warnings = [
    ...toneWarnings,
    ...(paperWarning === null ? [] : [paperWarning]),
    ...beyond,
    ...warningsOfFlags(steps),
  ];
  return {
    steps,
    coatingBeside: besidePatches(near, field, Math.max(...densities.map((step) => step.red))),
    blurSteps: blurOfBoundaries(profiles),
    isToneCorrected: tone !== null,
    lights: measured.map(({ step }, i) =>
      steps[i]!.flags.some((flag) => lostFlags.includes(flag)) ? null : exposedStep(step, field, raster.channels === 3),
    ),
    clippedPaperShare,
    warnings,
  };
}

/** Flags of steps whose hue says nothing: a channel is cut off, or half of the step is covered. */
const huelessFlags: readonly string[] = ["clipped", "crushed", "out-of-gamut", "left-out"];
/** ... and of those whose light says nothing at all: a channel cut off at the bright end says so by its own. */
const lostFlags: readonly string[] = ["crushed", "out-of-gamut", "left-out"];
function colourDensities(step: MeasuredStep, { red, sigma, flags }: StepDensities, field: LightField): ColourDensities {
  const paper = field.logAt(step.u, step.v);
  const [green, blue] = ([1, 2] as const).map((c) => Math.LOG10E * (paper[c] - Math.log(Math.max(step.mean[c], 1e-6))));
  const [greenSigma, blueSigma] = ([1, 2] as const).map(
    (c) => (Math.LOG10E * step.sigma[c]) / Math.max(step.mean[c], 1e-6),
  );
  return {
    red,
    green: green!,
    blue: blue!,
    sigma: { red: sigma, green: greenSigma!, blue: blueSigma! },
    isWhole: !flags.some((flag) => huelessFlags.includes(flag)),
  };
}

/** Densities of the blocks across a step, each above the paper at its own place. */
function blockDensities(step: MeasuredStep, field: LightField): StepBlocks {
  const above = (red: number, v: number) => Math.LOG10E * (field.logAt(step.u, v)[0] - Math.log(Math.max(red, 1e-6)));
  return { density: above(step.mean[0], step.v), blocks: step.blocks.map(({ v, red }) => above(red, v)) };
}

/** How far to each side of a boundary its profile reaches, in steps, and in how many bins. */
const profileReach = 0.55;
const profileBins = 48;

/** The tone across every inner boundary. */
function boundaryProfiles(raster: Raster, map: StripMap, count: number): BoundaryProfile[] {
  return Array.from({ length: count - 1 }, (_, i) => {
    const k = i + 1;
    const pixels = pixelsOfCell(
      raster,
      map,
      { u0: (k - profileReach) / count, u1: (k + profileReach) / count, v0: boxMarginShare, v1: 1 - boxMarginShare },
      { tilesU: profileBins, tilesV: 1, tilePx: 1 },
    );
    const sums = new Float64Array(pixels.tilesU);
    const counts = new Uint32Array(pixels.tilesU);
    for (let p = 0; p < pixels.count; p++) {
      sums[pixels.tile[p]!]! += pixels.red[p]!;
      counts[pixels.tile[p]!]!++;
    }
    return {
      k,
      reach: profileReach,
      logLight: Array.from(sums, (sum, bin) =>
        counts[bin]! > 0 ? Math.log(Math.max(sum / counts[bin]!, 1e-5)) : Number.NaN,
      ),
    };
  });
}

/** Light inside the middle of every step, whose boundaries may be shifted a little. */
function lightOfSteps(
  raster: Raster,
  map: StripMap,
  shifts: readonly number[],
): { box: CellBox; step: MeasuredStep }[] {
  const count = shifts.length - 1;
  return Array.from({ length: count }, (_, i) => {
    const from = (i + shifts[i]!) / count;
    const width = (i + 1 + shifts[i + 1]!) / count - from;
    const box = {
      u0: from + boxMarginShare * width,
      u1: from + (1 - boxMarginShare) * width,
      v0: boxMarginShare,
      v1: 1 - boxMarginShare,
    };
    const pixels = pixelsOfCell(raster, map, box);
    const statistics = cellStatistics(pixels);
    if (statistics === null)
      throw readingTrouble("corners-impossible", { code: "step-too-small", step: i + 1 }, { field: "corners" });
    const blocks = statistics.blocks.map(({ v, red }) => ({ v: box.v0 + v * (box.v1 - box.v0), red }));
    const step: MeasuredStep = {
      ...statistics,
      blocks,
      u: from + width / 2,
      v: 0.5,
      clippedShare: pixels.clippedShare,
      crushedShare: pixels.crushedShare,
      codeStep: pixels.codeStep,
    };
    return { box, step };
  });
}

/** Light of unexposed paper over the strip, from the paper round it or else from the least exposed steps. */
function paperField(
  raster: Raster,
  map: StripMap,
  steps: readonly MeasuredStep[],
  corners: Corners,
  reference?: Reference,
): { field: LightField; near: MarginCell[]; clippedPaperShare: number; warning: StripWarning | null } {
  const [a, b, c, d] = corners;
  const length = (Math.hypot(b[0] - a[0], b[1] - a[1]) + Math.hypot(c[0] - d[0], c[1] - d[1])) / 2;
  const height = (Math.hypot(d[0] - a[0], d[1] - a[1]) + Math.hypot(c[0] - b[0], c[1] - b[1])) / 2;
  const onCard =
    reference === undefined
      ? () => false
      : isOnCard(
          map,
          reference.patches.map((patch) => patch.at),
        );
  const aspect = height / length;
  const cellsIn = (bands: readonly Band[]) =>
    marginCells(raster, map, steps.length, aspect, bands).filter(({ u, v }) => !onCard(u, v));
  const near = cellsIn(nearBands);
  const paperAmong = (cells: readonly MarginCell[]): { choice: PaperChoice; field: LightField | null } => {
    const choice = choosePaper(cells, steps, raster.channels === 3);
    const paper = cellsOfOneSurface(choice.paper, aspect);
    return { choice, field: paper.length < fewestPaperCells ? null : fitLightField(paper, { aspect }) };
  };
  let { choice, field } = paperAmong(near);
  const isSure = field !== null && Math.max(...[0, 0.5, 1].map((u) => field!.sigmaAt(u, 0.5))) < surePaper;
  // Round a strip in exposed coating, paper begins further out; paper on one side alone says little about the other.
  if (!isSure || choice.paper.length < plentyPaperCells)
    ({ choice, field } = paperAmong([...near, ...cellsIn(farBands)]));
  let refused: StripWarning | null = null;
  if (field !== null) {
    const darkest = Math.min(
      ...steps.map((step) => field!.logAt(step.u, step.v)[0] - Math.log(Math.max(step.mean[0], 1e-6))),
    );
    // Steps brighter than "paper" mean that it was not paper.
    const isStrip = fallsAlongWithSteps(
      steps.map((step) => ({
        paper: field!.logAt(step.u, step.v)[0],
        step: Math.log(Math.max(step.mean[0], 1e-6)),
      })),
    );
    if (isStrip) refused = { code: "paper-falls-along", stops: field.range / Math.LN2 };
    if (!isStrip && field.cellsUsed >= fewestPaperCells && darkest > -0.09) {
      const warning: StripWarning | null =
        field.range > unevenLight ? { code: "light-uneven", stops: field.range / Math.LN2 } : null;
      return { field, near, clippedPaperShare: choice.clippedShare, warning };
    }
  }
  const palest = [...steps].sort((p, q) => q.mean[0] - p.mean[0]).slice(0, steps.length >= 8 ? 2 : 1);
  const mean = ([0, 1, 2] as const).map((channel) =>
    Math.log(Math.max(1e-6, palest.reduce((sum, step) => sum + step.mean[channel], 0) / palest.length)),
  );
  return {
    field: evenLightField([mean[0]!, mean[1]!, mean[2]!], 0.01),
    near: [],
    clippedPaperShare: choice.clippedShare,
    warning: refused ?? { code: "no-paper", hasEvenLight: raster.light !== undefined },
  };
}

/** Flags that are told, in the order in which they are. */
const toldFlags = ["clipped", "crushed", "out-of-gamut", "uneven", "left-out"] as const;

/** One warning for each kind of flag, naming the steps. */
function warningsOfFlags(readingSteps: readonly ReadingStep[]): StripWarning[] {
  return toldFlags.flatMap((flag) => {
    const steps = readingSteps.filter((step) => step.flags.includes(flag)).map((step) => step.index);
    return steps.length === 0 ? [] : [{ code: `steps-${flag}` as const, steps }];
  });
}
