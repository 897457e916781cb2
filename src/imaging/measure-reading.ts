// One picture to one reading: decode, place the strip, flatten the light, sample every step.
import type { TroubleError } from "#shared/errors.ts";
import { readingTrouble } from "#shared/reading/reading-troubles.ts";
import { cameraSigmaOf, noCamera, unknownCamera } from "#shared/reading/camera/camera-term.ts";
import { saturationTold, type SaturationTold } from "#shared/reading/camera/raised-saturation.ts";
import { cornerTrouble } from "#shared/reading/corners/corner-trouble.ts";
import { areGrey, pictureWarnings, reversedWarning } from "#shared/reading/picture-warnings.ts";
import type { MeasuredReading, StripWarning } from "#shared/reading/reading-facts.ts";
import type { CameraTerm, Corners, Reading, ReadingStep, Tablet } from "#shared/schema/reading.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";
import { decodePicture, type Decoded, type Raster } from "./decode/decode.ts";
import { cornersInOrder } from "./corners-in-order.ts";
import { evenLightOver, lightGridOf, type LightGrid } from "./even-light.ts";
import { everywhere } from "./find/place-strip.ts";
import { darkFirst, findTablet } from "./find-tablet.ts";
import {
  fewestHalfSizeStepPx,
  leastStepSidePx,
  scaledReading,
  scaledRequest,
  scaledTrouble,
} from "./decode/half-size.ts";
import type { JobContext, ReadingJob } from "./jobs.ts";
import { inSharedMemory } from "./decode/kept-rasters.ts";
import { settleCorners } from "./settle-corners.ts";
import { measureSteps, type StripMeasurement } from "./measure-steps.ts";
import { takingOf, type Taking } from "./taken-by.ts";
import { measureSheet } from "./sheet/measure-sheet.ts";

/**
 * Reads the step densities in a picture.
 * @throws TroubleError when the picture cannot be read, the corners are impossible, or no tablet is found
 */
export async function measureReading(job: ReadingJob, context: KeptPicture = {}): Promise<MeasuredReading> {
  const { picture, request } = job;
  if (request.tablet.kind === "sheet") {
    const decoded = await decodedFor({ picture }, context, false);
    return measureSheet(decoded, { ...request, tablet: request.tablet });
  }
  const { corners } = request;
  const stepCount = stepInputs(request.tablet).length;
  const mayBeHalf = corners === undefined || leastStepSidePx(corners, stepCount) >= 2 * fewestHalfSizeStepPx;
  const decoded = await decodedFor(job, context, mayBeHalf);
  const { raster, full } = decoded;
  if (raster.width === full.width && raster.height === full.height) return measureDecoded(job, decoded);
  const shrunk = [raster.width / full.width, raster.height / full.height] as const;
  const grown = [1 / shrunk[0], 1 / shrunk[1]] as const;
  const { location, ...half } = await measureDecoded(
    { ...job, request: scaledRequest(request, shrunk) },
    decoded,
  ).catch((error: unknown) => {
    throw scaledTrouble(error, grown);
  });
  const reading = scaledReading({ location, ...half }, grown);
  if (leastStepSidePx(location.corners, half.steps.length) >= fewestHalfSizeStepPx) return reading;
  const whole = await decodedFor(job, context, false, decoded.evenLight);
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
  "corners-reordered",
  "corners-settled",
  "corners-doubted",
]);

/**
 * Reads a decoded picture, in whose own pixels the request speaks.
 * @param isPlaced true takes the corners as they are
 */
async function measureDecoded(
  { picture, request }: ReadingJob,
  decoded: Decoded,
  isPlaced = false,
): Promise<MeasuredReading> {
  const inputs = stepInputs(request.tablet);
  if (inputs.length === 0) throw readingTrouble("bad-request", { code: "other-kind-of-tablet" }, { field: "tablet" });
  const raster: Raster =
    decoded.evenLight === undefined
      ? decoded.raster
      : { ...decoded.raster, light: evenLightOver(decoded.evenLight, decoded.raster) };
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
  const taking = await takingOf(picture, decoded, request.takenBy);
  const camera = cameraTermOf(taking, measured.isToneCorrected);
  const saturation = camera.by === "assumption" ? saturationTold(measured.lights) : null;
  const ofPicture = pictureWarnings({
    corners: location.corners,
    steps: inputs.length,
    blurSteps: measured.blurSteps,
    jpegTableMean: decoded.tables?.lumaMean ?? null,
    camera: taking.camera,
    hasReference: measured.isToneCorrected,
    longSidePx: Math.max(decoded.full.width, decoded.full.height),
    clippedPaperShare: measured.clippedPaperShare,
    isGrey: areGrey(measured.steps),
  });
  return {
    image: {
      width: raster.width,
      height: raster.height,
      bitsPerChannel: decoded.fileBits,
      profile: raster.profile,
    },
    location,
    steps: withCameraSigmas(measured.steps, camera, saturation),
    ...besideOf(measured),
    camera,
    ...(taking.camera === "none" ? {} : { light: { logExposure: taking.logExposure, steps: measured.lights } }),
    warnings: [
      ...decoded.warnings,
      ...placeWarnings,
      ...measured.warnings,
      ...(reversed === null ? [] : [reversed]),
      ...saturationWarnings(saturation),
      ...ofPicture,
    ],
  };
}

const besideOf = ({ coatingBeside }: Pick<StripMeasurement, "coatingBeside">) =>
  coatingBeside.length === 0 ? {} : { coatingBeside };

/** Steps with what the camera may have done to them; what the strip itself tells counts where it is more than usual. */
const withCameraSigmas = (
  steps: readonly ReadingStep[],
  camera: CameraTerm,
  saturation: SaturationTold | null,
): ReadingStep[] =>
  steps.map((step, i) => {
    const told = Math.hypot(camera.gammaSigma * step.red, saturation?.sigma[i] ?? 0);
    const cameraSigma = Math.max(cameraSigmaOf(step.red, camera), told);
    return cameraSigma === 0 ? step : { ...step, cameraSigma };
  });

const saturationWarnings = (saturation: SaturationTold | null): StripWarning[] =>
  saturation?.isRaised === true ? [{ code: "colours-raised", times: saturation.chroma }] : [];

/** What is known of the camera between print and numbers. */
function cameraTermOf({ camera }: Pick<Taking, "camera">, isToneCorrected: boolean): CameraTerm {
  if (camera !== "none" && !isToneCorrected)
    return camera === "supposed" ? { ...unknownCamera, isSupposed: true } : unknownCamera;
  // What the patches leave unsure is part of each step's own uncertainty.
  return isToneCorrected ? { ...noCamera, by: "patches" } : noCamera;
}

/**
 * Marked corners, put in order and settled on the picture unless no tablet is given.
 * @throws TroubleError when they can be no strip
 */
function givenLocation(
  raster: Raster,
  marked: Corners,
  tablet: Tablet | null,
): { location: Reading["location"]; warnings: readonly StripWarning[] } {
  if (tablet === null) return { location: { method: "given", corners: marked, confidence: 1 }, warnings: [] };
  const disorder = cornersError(marked, everywhere);
  const ordered = disorder === null ? null : cornersInOrder(raster, marked, tablet);
  if (disorder !== null && ordered === null) throw disorder;
  const { corners } = ordered ?? { corners: marked };
  const trouble = cornersError(corners, {
    width: raster.width,
    height: raster.height,
    steps: stepInputs(tablet).length,
  });
  if (trouble !== null) throw trouble;
  const { warnings, ...settled } = settleCorners(raster, corners, tablet);
  return {
    location: { method: "given", ...settled },
    warnings: ordered === null ? warnings : [{ code: "corners-reordered", order: ordered.order }, ...warnings],
  };
}

type KeptPicture = Pick<JobContext, "kept" | "keep">;

/**
 * The picture decoded, now or before, a large one perhaps at half size, with the light of the plain sheet beside it.
 * @param light the light of that sheet, when it is known already
 */
async function decodedFor(
  { picture, evenLight }: Pick<ReadingJob, "picture" | "evenLight">,
  { kept, keep }: KeptPicture,
  mayBeHalf: boolean,
  light: LightGrid | undefined = kept?.evenLight,
): Promise<Decoded> {
  if (kept !== undefined && (mayBeHalf || kept.raster.width === kept.full.width)) return kept;
  const alone = await decodePicture(picture, { halveLarge: mayBeHalf });
  const decoded =
    evenLight === undefined ? alone : { ...alone, evenLight: light ?? (await lightGridOf(evenLight, alone.raster)) };
  if (keep === undefined) return decoded;
  const shared = inSharedMemory(decoded);
  keep(shared);
  return shared;
}

function cornersError(
  corners: Corners,
  picture: { width: number; height: number; steps: number },
): TroubleError | null {
  const trouble = cornerTrouble(corners, picture);
  return trouble === null ? null : readingTrouble("corners-impossible", trouble, { field: "corners" });
}
