// One picture to one reading: decode, place the strip, flatten the light, sample every step.
import { boxMarginShare } from "#shared/limits.ts";
import exifr from "exifr";
import type { TroubleError } from "#shared/errors.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { blurOfBoundaries, boundaryShifts, type BoundaryProfile } from "#shared/reading/boundary-shift.ts";
import { cameraSigmaOf, unknownCamera } from "#shared/reading/camera-term.ts";
import { cellStatistics } from "#shared/reading/cell-statistics.ts";
import { stepsOffColourLine, type ColourDensities } from "#shared/reading/colour-line.ts";
import { cornerTrouble } from "#shared/reading/corner-trouble.ts";
import { homographyFromCorners, inverseHomography, mapBox, mapPoint } from "#shared/reading/homography.ts";
import { evenLightField, fallsAlongWithSteps, fitLightField, type LightField } from "#shared/reading/light-field.ts";
import { cellsOfOneSurface } from "#shared/reading/one-surface.ts";
import { oddSteps } from "#shared/reading/odd-steps.ts";
import { choosePaper, type MarginCell, type PaperChoice } from "#shared/reading/paper-cells.ts";
import { pictureWarnings, reversedWarning } from "#shared/reading/picture-warnings.ts";
import type { MeasuredReading, PictureLight, ReadingWarning, StripWarning } from "#shared/reading/reading-facts.ts";
import { stepDensities, type MeasuredStep, type StepDensities } from "#shared/reading/step-densities.ts";
import { unevennessSigmas, type StepBlocks } from "#shared/reading/unevenness.ts";
import type { CameraTerm, Corners, Reading, ReadingStep, Reference, Tablet } from "#shared/schema/reading.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import { decodePicture, type Decoded, type Raster } from "./decode/decode.ts";
import { evenLightOf } from "./even-light.ts";
import { darkFirst, findTablet } from "./find-tablet.ts";
import { fewestHalfSizeStepPx, leastStepSidePx, scaledReading, scaledRequest } from "./decode/half-size.ts";
import type { JobContext, ReadingJob } from "./jobs.ts";
import { inSharedMemory } from "./decode/kept-rasters.ts";
import { farBands, marginCells, nearBands, type Band } from "./margin.ts";
import { pixelsOfCell, type CellBox, type StripMap } from "./sample.ts";
import { beyondPatches, correctTone, isOnCard } from "./tone-reference.ts";
import { settleCorners } from "./settle-corners.ts";
import { measureSheet } from "./sheet/measure-sheet.ts";

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

/**
 * Reads the step densities in a picture.
 * @throws TroubleError when the picture cannot be read, the corners are impossible, or no tablet is found
 */
export async function measureReading(job: ReadingJob, context: KeptPicture = {}): Promise<MeasuredReading> {
  const { picture, request } = job;
  if (request.tablet.kind === "sheet") {
    const decoded = await decodedFor(picture, context, false);
    return measureSheet(decoded, { ...request, tablet: request.tablet });
  }
  const { corners } = request;
  const stepCount = stepInputs(request.tablet).length;
  const mayBeHalf = corners === undefined || leastStepSidePx(corners, stepCount) >= 2 * fewestHalfSizeStepPx;
  const decoded = await decodedFor(picture, context, mayBeHalf);
  const { raster, full } = decoded;
  if (raster.width === full.width && raster.height === full.height) return measureDecoded(job, decoded);
  const shrunk = [raster.width / full.width, raster.height / full.height] as const;
  const grown = [1 / shrunk[0], 1 / shrunk[1]] as const;
  const { location, ...half } = await measureDecoded({ ...job, request: scaledRequest(request, shrunk) }, decoded);
  const reading = scaledReading({ location, ...half }, grown);
  if (leastStepSidePx(location.corners, half.steps.length) >= fewestHalfSizeStepPx) return reading;
  const whole = await decodedFor(picture, context, false);
  const { location: place, ...fine } = await measureDecoded(
    { ...job, request: { ...request, corners: reading.location.corners } },
    whole,
    true,
  );
  return {
    ...fine,
    location: { ...place, method: location.method, confidence: location.confidence },
    warnings: [...reading.warnings.filter(({ code }) => placeCodes.has(code)), ...fine.warnings],
  };
}

/** What the first, smaller look said about the place; the second one only measures there. */
const placeCodes: ReadonlySet<string> = new Set([
  "location-uncertain",
  "looks-like-other-count",
  "corners-settled",
  "corners-doubted",
]);

/**
 * Reads a decoded picture, in whose own pixels the request speaks.
 * @param isPlaced true takes the corners as they are
 */
async function measureDecoded(
  { picture, request, evenLight }: ReadingJob,
  decoded: Decoded,
  isPlaced = false,
): Promise<MeasuredReading> {
  const inputs = stepInputs(request.tablet);
  if (inputs.length === 0) throw readingTrouble("bad-request", { code: "other-kind-of-tablet" }, { field: "tablet" });
  if (request.corners !== undefined && !cornersAreInOrder(request.corners))
    throw cornersError(request.corners, {
      width: Number.POSITIVE_INFINITY,
      height: Number.POSITIVE_INFINITY,
      steps: 1,
    });
  const raster: Raster =
    evenLight === undefined
      ? decoded.raster
      : { ...decoded.raster, light: await evenLightOf(evenLight, decoded.raster) };
  const { location, warnings: placeWarnings } =
    request.corners === undefined
      ? findTablet(raster, request.tablet)
      : givenLocation(raster, request.corners, isPlaced ? null : request.tablet);
  const trouble = cornersError(location.corners, { width: raster.width, height: raster.height, steps: inputs.length });
  if (trouble !== null) throw trouble;
  const measured = measureSteps(raster, location.corners, inputs, request.reference);
  const reversed =
    request.tablet.kind === "levels"
      ? null
      : reversedWarning(
          measured.steps.map((step) => step.red),
          darkFirst(request.tablet),
        );
  const notes = await cameraNotes(picture, decoded);
  const isByCamera = notes !== null;
  const camera = cameraTermOf(isByCamera, measured.isToneCorrected);
  const ofPicture = pictureWarnings({
    corners: location.corners,
    steps: inputs.length,
    blurSteps: measured.blurSteps,
    jpegTableMean: decoded.tables?.lumaMean ?? null,
    namesCamera: isByCamera,
    hasReference: measured.isToneCorrected,
    longSidePx: Math.max(decoded.full.width, decoded.full.height),
    clippedPaperShare: measured.clippedPaperShare,
  });
  return {
    image: {
      width: raster.width,
      height: raster.height,
      bitsPerChannel: decoded.fileBits,
      profile: raster.profile,
    },
    location,
    steps: measured.steps.map((step) => {
      const cameraSigma = cameraSigmaOf(step.red, camera);
      return cameraSigma === 0 ? step : { ...step, cameraSigma };
    }),
    camera,
    ...(notes === null ? {} : { light: { logExposure: notes.logExposure, steps: measured.lights } }),
    warnings: [
      ...decoded.warnings,
      ...placeWarnings,
      ...measured.warnings,
      ...(reversed === null ? [] : [reversed]),
      ...ofPicture,
    ],
  };
}

/** What is known of the camera between print and numbers. */
function cameraTermOf(isByCamera: boolean, isToneCorrected: boolean): CameraTerm {
  if (isByCamera && !isToneCorrected) return unknownCamera;
  // What the patches leave unsure is part of each step's own uncertainty.
  return {
    toneKnown: true,
    by: isToneCorrected ? "patches" : "no-camera",
    gammaSigma: 0,
    flareShare: 0,
    flareSigma: 0,
  };
}

/** Marked corners, settled on the picture unless no tablet is given. @throws TroubleError when they can be no strip */
function givenLocation(
  raster: Raster,
  corners: Corners,
  tablet: Tablet | null,
): { location: Reading["location"]; warnings: readonly StripWarning[] } {
  if (tablet === null) return { location: { method: "given", corners, confidence: 1 }, warnings: [] };
  const trouble = cornersError(corners, {
    width: raster.width,
    height: raster.height,
    steps: stepInputs(tablet).length,
  });
  if (trouble !== null) throw trouble;
  const { warnings, ...settled } = settleCorners(raster, corners, tablet);
  return { location: { method: "given", ...settled }, warnings };
}

type KeptPicture = Pick<JobContext, "kept" | "keep">;

/** The picture decoded, now or before; a large one perhaps at half size. */
async function decodedFor(picture: Uint8Array, { kept, keep }: KeptPicture, mayBeHalf: boolean): Promise<Decoded> {
  if (kept !== undefined && (mayBeHalf || kept.raster.width === kept.full.width)) return kept;
  const decoded = await decodePicture(picture, { halveLarge: mayBeHalf });
  if (keep === undefined) return decoded;
  const shared = inSharedMemory(decoded);
  keep(shared);
  return shared;
}

interface CameraNotes {
  /**
   * Logarithm (base 10) of exposure time times sensitivity over the square of the f-number; null where one is missing.
   */
  readonly logExposure: number | null;
}

/** What a camera wrote about its exposure: then its tone curve lies over the numbers. Null where no camera did. */
async function cameraNotes(bytes: Uint8Array, { hasNotes }: Decoded): Promise<CameraNotes | null> {
  if (!hasNotes) return null;
  try {
    const tags: unknown = await exifr.parse(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength), {
      pick: ["Make", "FNumber", "ExposureTime", "ISO"],
    });
    if (typeof tags !== "object" || tags === null || !("FNumber" in tags || "ExposureTime" in tags)) return null;
    const number = (name: string) => Number((tags as Readonly<Record<string, unknown>>)[name]);
    const logExposure = Math.log10((number("ExposureTime") * number("ISO")) / number("FNumber") ** 2);
    return { logExposure: Number.isFinite(logExposure) ? logExposure : null };
  } catch {
    // A damaged description says nothing about the picture itself.
    return null;
  }
}

const cornersAreInOrder = (corners: Corners) =>
  cornerTrouble(corners, { width: Number.POSITIVE_INFINITY, height: Number.POSITIVE_INFINITY, steps: 1 }) === null;

function cornersError(
  corners: Corners,
  picture: { width: number; height: number; steps: number },
): TroubleError | null {
  const trouble = cornerTrouble(corners, picture);
  return trouble === null ? null : readingTrouble("corners-impossible", trouble, { field: "corners" });
}

export interface StripMeasurement {
  readonly steps: ReadingStep[];
  /** Softness of the boundaries in steps; null when none is clear. */
  readonly blurSteps: number | null;
  readonly clippedPaperShare: number;
  /** Red light of each step and its paper; null where it is cut off or covered. */
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
  const odd = [
    ...oddSteps(
      densities.map((step) => step.red),
      densities.map((step) => step.sigma),
    ),
    ...(raster.channels === 1
      ? []
      : stepsOffColourLine(measured.map(({ step }, i) => colourDensities(step, densities[i]!, field)))),
  ];
  const steps = measured.map(({ box, step }, i) => ({
    index: i + 1,
    input: inputs[i]!,
    ...densities[i]!,
    flags:
      odd.includes(i) && !densities[i]!.flags.includes("left-out")
        ? [...densities[i]!.flags, "left-out"]
        : densities[i]!.flags,
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
    blurSteps: blurOfBoundaries(profiles),
    isToneCorrected: tone !== null,
    lights: measured.map(({ step }, i) => {
      const [light] = step.mean;
      if (steps[i]!.flags.some((flag) => huelessFlags.includes(flag)) || !(light > 0)) return null;
      return {
        light,
        paper: Math.exp(field.logAt(step.u, step.v)[0]),
        sigma: (Math.LOG10E * step.sigma[0]) / light,
      };
    }),
    clippedPaperShare,
    warnings,
  };
}

/** Flags of steps whose hue says nothing: a channel is cut off, or half of the step is covered. */
const huelessFlags: readonly string[] = ["clipped", "crushed", "out-of-gamut", "left-out"];

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
): { field: LightField; clippedPaperShare: number; warning: StripWarning | null } {
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
  const cellsIn = (bands: readonly Band[]) =>
    marginCells(raster, map, steps.length, height / length, bands).filter(({ u, v }) => !onCard(u, v));
  const near = cellsIn(nearBands);
  const aspect = height / length;
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
      return { field, clippedPaperShare: choice.clippedShare, warning };
    }
  }
  const palest = [...steps].sort((p, q) => q.mean[0] - p.mean[0]).slice(0, steps.length >= 8 ? 2 : 1);
  const mean = ([0, 1, 2] as const).map((channel) =>
    Math.log(Math.max(1e-6, palest.reduce((sum, step) => sum + step.mean[channel], 0) / palest.length)),
  );
  return {
    field: evenLightField([mean[0]!, mean[1]!, mean[2]!], 0.01),
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
