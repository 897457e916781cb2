// One picture to one reading: decode, place the strip, flatten the light, sample every step.
import { InputError } from "#shared/errors.ts";
import { cellStatistics } from "#shared/reading/cell-statistics.ts";
import { cornerTrouble } from "#shared/reading/corner-trouble.ts";
import { homographyFromCorners, inverseHomography, mapBox, mapPoint } from "#shared/reading/homography.ts";
import { evenLightField, fitLightField, type LightField } from "#shared/reading/light-field.ts";
import { choosePaper } from "#shared/reading/paper-cells.ts";
import { stepDensities, type MeasuredStep } from "#shared/reading/step-densities.ts";
import type { Corners, Reading, ReadingStep, Reference, Warning } from "#shared/schema/reading.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import { decodePicture, type Raster } from "./decode.ts";
import { findTablet } from "./find-tablet.ts";
import type { ReadingJob } from "./jobs.ts";
import { marginCells } from "./margin.ts";
import { pixelsOfCell, type CellBox, type StripMap } from "./sample.ts";
import { correctTone } from "./tone-reference.ts";
import { measureSheet } from "./sheet/measure-sheet.ts";

/** Share of a step left out at each of its edges: halos, chroma blur and a little misplacement live there. */
const edgeShare = 0.2;
/** Fewest patches of paper that flatten the light. */
const fewestPaperCells = 4;
/** Light over the strip more uneven than this (natural logarithm; half a stop) is worth telling. Source: common practice, no source. */
const unevenLight = 0.35;

/**
 * Reads the step densities in a picture.
 * @throws InputError when the picture cannot be read, the corners are impossible, or no tablet is found
 */
export async function measureReading({ picture, request }: ReadingJob): Promise<Reading> {
  if (request.tablet.kind === "sheet") return measureSheet(await decodePicture(picture), { ...request, tablet: request.tablet });
  const inputs = stepInputs(request.tablet);
  if (inputs.length === 0) throw new InputError("bad-request", "This kind of tablet is read in another way. Choose a step tablet, a timed strip or a strip of levels.", { field: "tablet" });
  if (request.corners !== undefined && !cornersAreInOrder(request.corners)) throw cornersError(request.corners, { width: Number.POSITIVE_INFINITY, height: Number.POSITIVE_INFINITY, steps: 1 });
  const decoded = await decodePicture(picture);
  const { raster } = decoded;
  const warnings: Warning[] = [...decoded.warnings];
  const location = request.corners === undefined ? findTablet(raster, request.tablet, warnings) : { method: "given" as const, corners: request.corners, confidence: 1 };
  const trouble = cornersError(location.corners, { width: raster.width, height: raster.height, steps: inputs.length });
  if (trouble !== null) throw trouble;
  const steps = measureSteps(raster, location.corners, inputs, warnings, request.reference);
  return {
    image: { width: raster.width, height: raster.height, bitsPerChannel: raster.bitsPerChannel, profile: raster.profile },
    location,
    steps,
    warnings,
  };
}

const cornersAreInOrder = (corners: Corners) => cornerTrouble(corners, { width: Number.POSITIVE_INFINITY, height: Number.POSITIVE_INFINITY, steps: 1 }) === null;

function cornersError(corners: Corners, picture: { width: number; height: number; steps: number }): InputError | null {
  const detail = cornerTrouble(corners, picture);
  return detail === null ? null : new InputError("corners-impossible", detail, { field: "corners" });
}

/** Samples every step of a placed strip. Adds what is worth knowing to the warnings. */
export function measureSteps(decoded: Raster, corners: Corners, inputs: readonly number[], warnings: Warning[], reference?: Reference): ReadingStep[] {
  const toPicture = homographyFromCorners(corners);
  const map: StripMap = { toPicture, toStrip: inverseHomography(toPicture) };
  const count = inputs.length;
  const lightsOf = (raster: Raster) => lightOfSteps(raster, map, count).map(({ step }) => step);
  const { raster } = reference === undefined ? { raster: decoded } : correctTone(decoded, map, lightsOf, reference, warnings);
  const measured = lightOfSteps(raster, map, count);
  const field = paperField(raster, map, measured.map(({ step }) => step), corners, warnings);
  const steps = measured.map(({ box, step }, i) => ({
    index: i + 1,
    input: inputs[i]!,
    ...stepDensities(step, field),
    centre: mapPoint(toPicture, step.u, step.v),
    box: mapBox(toPicture, box),
  }));
  warnings.push(...warningsOfFlags(steps));
  return steps;
}

/** Light inside the middle of every step. */
function lightOfSteps(raster: Raster, map: StripMap, count: number): { box: CellBox; step: MeasuredStep }[] {
  return Array.from({ length: count }, (_, i) => {
    const box = { u0: (i + edgeShare) / count, u1: (i + 1 - edgeShare) / count, v0: edgeShare, v1: 1 - edgeShare };
    const pixels = pixelsOfCell(raster, map, box);
    const statistics = cellStatistics(pixels);
    if (statistics === null) throw new InputError("corners-impossible", `Step ${i + 1} covers too few pixels to be measured. Take the picture from nearer.`, { field: "corners" });
    const step: MeasuredStep = { ...statistics, u: (i + 0.5) / count, v: 0.5, clippedShare: pixels.clippedShare, crushedShare: pixels.crushedShare, codeStep: pixels.codeStep };
    return { box, step };
  });
}

/** Light of unexposed paper over the strip, from the paper round it or else from the least exposed steps. */
function paperField(raster: Raster, map: StripMap, steps: readonly MeasuredStep[], corners: Corners, warnings: Warning[]): LightField {
  const [a, b, c, d] = corners;
  const length = (Math.hypot(b[0] - a[0], b[1] - a[1]) + Math.hypot(c[0] - d[0], c[1] - d[1])) / 2;
  const height = (Math.hypot(d[0] - a[0], d[1] - a[1]) + Math.hypot(c[0] - b[0], c[1] - b[1])) / 2;
  const cells = marginCells(raster, map, steps.length, height / length);
  const choice = choosePaper(cells, steps, raster.channels === 3);
  if (choice.paper.length >= fewestPaperCells) {
    const field = fitLightField(choice.paper);
    const darkest = Math.min(...steps.map((step) => field.logAt(step.u, step.v)[0] - Math.log(Math.max(step.mean[0], 1e-6))));
    // Steps brighter than "paper" mean that it was not paper.
    if (field.cellsUsed >= fewestPaperCells && darkest > -0.09) {
      if (field.range > unevenLight) {
        warnings.push({ code: "light-uneven", message: `The light falls off by ${(field.range / Math.LN2).toFixed(1)} stops along the strip. It was evened out by the paper round the strip, but even light gives surer densities: use two lamps from both sides, or open shade.` });
      }
      return field;
    }
  }
  const palest = [...steps].sort((p, q) => q.mean[0] - p.mean[0]).slice(0, steps.length >= 8 ? 2 : 1);
  const mean = ([0, 1, 2] as const).map((channel) => Math.log(Math.max(1e-6, palest.reduce((sum, step) => sum + step.mean[channel], 0) / palest.length)));
  warnings.push({
    code: "no-paper",
    message: "No unexposed paper was found beside the strip, so zero was taken from its least exposed steps, and uneven light could not be corrected. Densities may all be too low by the same amount. Leave a margin of unexposed, washed paper round the tablet, and keep it in the picture.",
  });
  return evenLightField([mean[0]!, mean[1]!, mean[2]!], 0.01);
}

const listed = (indices: readonly number[]) => (indices.length === 1 ? `step ${indices[0]}` : `steps ${indices.slice(0, -1).join(", ")} and ${indices.at(-1)}`);

/** One warning for each kind of flag, naming the steps. */
function warningsOfFlags(steps: readonly ReadingStep[]): Warning[] {
  const withFlag = (flag: string) => steps.filter((step) => step.flags.includes(flag)).map((step) => step.index);
  const messages: Readonly<Record<string, (which: string) => string>> = {
    clipped: (which) => `The picture is overexposed in ${which}: the brightest values are cut off. Take it again a little darker, so that paper white stays below the end of the scale.`,
    crushed: (which) => `Red light is cut off at black in ${which}, so these densities are only lower limits. Scan or photograph with 16 bits, a wider colour space, or a little more exposure.`,
    "out-of-gamut": (which) => `The blue of ${which} lies outside the colours that the picture can hold, so its red density is only a lower limit. Use a wider colour space (Display P3 or wider) or a raw development.`,
    uneven: (which) => `The tone inside ${which} is uneven: brush streaks, a stain, or corners that do not fit. Check the boxes on the picture.`,
    "left-out": (which) => `Something lies on ${which} (a hair, a sticker, a stain), so it was left out.`,
  };
  return Object.entries(messages).flatMap(([flag, message]) => {
    const indices = withFlag(flag);
    return indices.length === 0 ? [] : [{ code: `steps-${flag}`, message: message(listed(indices)) }];
  });
}
