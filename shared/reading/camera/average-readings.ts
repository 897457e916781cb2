// Several pictures of one print: camera noise and the light's unevenness differ from one to the next, the print does
// not.
import { reflectanceFromDensity } from "#shared/density/density-and-reflectance.ts";
import { luminanceFromLinearSrgb } from "#shared/density/srgb.ts";
import { visualOf } from "#shared/reading/step-densities.ts";
import type { CameraTerm, ReadingStep } from "#shared/schema/reading.ts";
import { bracketedDensities, type BracketedDensities } from "./bracket.ts";
import { cameraSigmaOf, unknownCamera } from "./camera-term.ts";
import { undoneByOnePigment, type SeenStep } from "./one-pigment.ts";
import {
  brightnessSpreadStops,
  distinctWarnings,
  flagsOfBracket,
  sharedFlags,
  warningsOfBracket,
} from "./several-pictures.ts";
import { lightToldByTurning } from "./turned-print.ts";
import type { MeasuredReading, ReadingWarning } from "#shared/reading/reading-facts.ts";

/** Readings of one step that differ by more than this many of their joint uncertainties contradict each other. */
const contradictionSigmas = 4;

/**
 * The mean of several readings of the same print.
 *
 * What the print itself holds (coating, paper) is the same in every picture and does not shrink with their number;
 * noise and the light's unevenness do. How much of a step's own uncertainty is of which kind is not known beforehand,
 * since grain of the paper looks like noise of the camera: the pictures tell it by how much they differ. The same file
 * sent twice narrows nothing.
 *
 * @param readings one or more with the same steps; the first gives picture, place and geometry
 * @throws RangeError when there is none, or the step counts differ
 * Source: common practice, no source (components of variance)
 */
export function averageReadings(readings: readonly MeasuredReading[]): MeasuredReading {
  const [first, ...further] = readings;
  if (first === undefined) throw new RangeError("averageReadings needs at least one reading.");
  if (further.length === 0) return first;
  if (further.some((reading) => reading.steps.length !== first.steps.length))
    throw new RangeError("averageReadings needs readings with the same steps.");
  const plain = meanReading(readings, first);
  // A camera's curve solved from several exposures takes the light of the pictures themselves.
  const told = plain.camera?.by === "pictures" ? null : lightToldByTurning(readings);
  if (told === null) return plain;
  if (told === "other-print") return notOnePrint(plain, readings);
  const mean = meanReading(told.readings, told.readings[0]!);
  return { ...mean, warnings: [...mean.warnings, { code: "light-told-by-turning", stops: told.stops }] };
}

/** The mean of pictures that do not show one print: each step is no surer than they are, nor than they agree. */
function notOnePrint(mean: MeasuredReading, readings: readonly MeasuredReading[]): MeasuredReading {
  const worst = (values: readonly number[]): number => Math.max(...values);
  return {
    ...mean,
    steps: mean.steps.map((step, i) => {
      const versions = readings.map(({ steps }) => steps[i]!);
      const apart = (of: (one: ReadingStep) => number): number =>
        worst(versions.map((one) => Math.abs(of(one) - of(step))));
      return {
        ...step,
        sigma: worst([apart(({ red }) => red), ...versions.map(({ sigma }) => sigma)]),
        sigmaVisual: worst([apart(({ visual }) => visual), ...versions.map(({ sigmaVisual }) => sigmaVisual)]),
      };
    }),
    warnings: [...mean.warnings.filter(({ code }) => code !== "pictures-disagree"), { code: "turned-pictures-differ" }],
  };
}

/** The mean of two or more readings with the same steps. */
function meanReading(readings: readonly MeasuredReading[], first: MeasuredReading): MeasuredReading {
  const versionsOf = first.steps.map((_, index) => readings.map((reading) => reading.steps[index]!));
  const red = versionsOf.map((versions) =>
    meanOf(versions.map(({ red: value, sigma, commonSigma = sigma }) => ({ value, sigma, commonSigma }))),
  );
  const visual = versionsOf.map((versions) =>
    meanOf(
      versions.map(({ visual: value, sigma, sigmaVisual, commonSigma = sigma }) => ({
        value,
        sigma: sigmaVisual,
        commonSigma: (commonSigma / Math.max(sigma, 1e-9)) * sigmaVisual,
      })),
    ),
  );
  const [redShare, visualShare] = [differingShare(red, readings.length), differingShare(visual, readings.length)];
  const contradicting = first.steps
    .filter((_, i) => red[i]!.scatter > contradictionSigmas * Math.max(Math.sqrt(red[i]!.variance), 0.005))
    .map((step) => step.index);
  const cameraSigmas = versionsOf.map((versions) => Math.max(...versions.map((each) => each.cameraSigma ?? 0)));
  const steps = first.steps.map((step, i) => ({
    ...step,
    red: red[i]!.mean,
    visual: visual[i]!.mean,
    lightness: versionsOf[i]!.reduce((sum, each) => sum + each.lightness, 0) / readings.length,
    sigma: sigmaOfMean(red[i]!, redShare, readings.length),
    sigmaVisual: sigmaOfMean(visual[i]!, visualShare, readings.length),
    ...(cameraSigmas[i]! > 0 ? { cameraSigma: cameraSigmas[i]! } : {}),
    flags: sharedFlags(versionsOf[i]!),
  }));
  const bracketed = bracketedReading(readings, {
    first,
    sigmas: red.map(({ variance }) => Math.sqrt(variance)),
    means: steps.map((step, i) => ({ ...step, flags: flagsOfBracket(versionsOf[i]!) })),
  });
  if (bracketed !== null && "steps" in bracketed) return bracketed;
  const unchecked = readings.find(({ camera }) => camera?.toneKnown === false)?.camera;
  return {
    ...first,
    steps,
    ...(unchecked === undefined ? {} : { camera: unchecked }),
    warnings: [
      ...distinctWarnings(readings),
      // Why pictures at different exposures contradict each other is said in its place.
      ...(bracketed === null ? contradictionWarnings(contradicting) : [bracketed]),
    ],
  };
}

/**
 * Pictures at different exposures, by a camera whose tone is not known otherwise: its curve is solved from them, and
 * red density is what it then says. Null where they do not tell; why, where they might have told.
 */
function bracketedReading(
  readings: readonly MeasuredReading[],
  { first, sigmas, means }: Averaged,
): MeasuredReading | BracketWarning | null {
  if (!readings.every(({ camera }) => camera?.by === "assumption")) return null;
  const pictures = readings.flatMap(({ light }) =>
    light === undefined || light.logExposure === null ? [] : [{ ...light, logExposure: light.logExposure }],
  );
  if (pictures.length < readings.length) {
    const stops = brightnessSpreadStops(readings);
    return stops > plainlyOtherStops ? { code: "exposures-unknown", stops } : null;
  }
  const solved = bracketedDensities(pictures);
  if (solved === null || solved.misfit > mostMisfit) return null;
  if (solved.exposureMisfit > mostExposureMisfit) return { code: "exposures-disagree" };
  const pigment = undoneByOnePigment(seenSteps(solved));
  const camera: CameraTerm = {
    ...unknownCamera,
    by: "pictures",
    gammaSigma: solved.gammaSigma,
    // What the strip tells of stray light is taken off; what it leaves open may still be there, either way.
    ...(pigment === null ? {} : { flareShare: 0, flareSigma: pigment.flareSigma }),
  };
  return {
    ...first,
    steps: means.map((step, i) => {
      const seen = solved.red[i]?.density ?? null;
      if (seen === null) return step;
      const told = pigment?.red[i] ?? null;
      const cameraSigma =
        told === null
          ? Math.hypot(solved.curveSigma[i]!, cameraSigmaOf(seen, { ...camera, gammaSigma: 0 }))
          : pigment!.sigma[i]!;
      const toldOf = (channel: "green" | "blue"): number | null =>
        pigment?.[channel][i] ?? solved[channel][i]?.density ?? null;
      const red = told ?? seen;
      return { ...step, red, ...besideRed(red, toldOf("green"), toldOf("blue")), sigma: sigmas[i]!, cameraSigma };
    }),
    camera,
    // What the pictures together tell of the colours is taken off.
    warnings: warningsOfBracket(readings)
      .filter(({ code }) => code !== "colours-raised" || pigment === null)
      .map((warning) => (warning.code === "tone-unchecked" ? { ...warning, solvedFrom: readings.length } : warning)),
  };
}

/**
 * Densities beside red, as the same curve says, and how light the step then is, beside paper that is taken for neutral.
 * Pictures without colours keep what they had.
 */
function besideRed(red: number, green: number | null, blue: number | null): Partial<ReadingStep> {
  if (green === null || blue === null) return {};
  const [r, g, b] = [reflectanceFromDensity(red), reflectanceFromDensity(green), reflectanceFromDensity(blue)];
  return { green, blue, ...visualOf(luminanceFromLinearSrgb(r, g, b)) };
}

interface Averaged {
  readonly first: MeasuredReading;
  /** A step's own uncertainty in one picture. */
  readonly sigmas: readonly number[];
  /** The steps as averaged. */
  readonly means: readonly ReadingStep[];
}

type BracketWarning = Extract<ReadingWarning, { code: "exposures-unknown" | "exposures-disagree" }>;

/** The steps of a bracket in all three channels, where all are seen. */
const seenSteps = ({ red, green, blue }: BracketedDensities): (SeenStep | null)[] =>
  red.map((seen, i) => {
    const [g, b] = [green[i] ?? null, blue[i] ?? null];
    return seen === null || g === null || b === null ? null : { red: seen, green: g, blue: b };
  });

/**
 * Pictures that disagree by more than this many times what was to be expected were not taken of one print in one light.
 * Source: common practice, no source.
 */
const mostMisfit = 4;
/**
 * Nor did the light stay, or the camera note what it did, where pictures move a noted exposure by more than so many of
 * its standard uncertainties. Source: common practice, no source (invented cameras: 95 % of right notes stay below
 * 2.1; an eighth of a stop in the middle picture of three, or a quarter in an outer one, comes to 4).
 */
const mostExposureMisfit = 4;
/** Pictures that differ in brightness by more than this were exposed differently. common practice, no source */
const plainlyOtherStops = 2 / 3;

interface StepMean {
  readonly mean: number;
  /** Mean variance of one picture's value: all of it, and the part that lies in the print for certain. */
  readonly variance: number;
  readonly commonVariance: number;
  /** Standard deviation of the pictures' values. */
  readonly scatter: number;
}

function meanOf(
  values: readonly { readonly value: number; readonly sigma: number; readonly commonSigma: number }[],
): StepMean {
  const count = values.length;
  const mean = values.reduce((sum, each) => sum + each.value, 0) / count;
  return {
    mean,
    variance: values.reduce((sum, each) => sum + each.sigma ** 2, 0) / count,
    commonVariance: values.reduce((sum, each) => sum + Math.min(each.commonSigma, each.sigma) ** 2, 0) / count,
    scatter: Math.sqrt(values.reduce((sum, each) => sum + (each.value - mean) ** 2, 0) / (count - 1)),
  };
}

/**
 * What is expected of the share below before the pictures speak, and how many degrees of freedom that counts.
 * Source: common practice, no source.
 */
const shareBefore = { share: 1, weight: 3 };

/** How many times what may differ between pictures does differ: above 1 when they differ by more than they say. */
function differingShare(steps: readonly StepMean[], pictures: number): number {
  const open = steps.filter((step) => step.variance > step.commonVariance);
  const freedom = open.length * (pictures - 1);
  const sum = open.reduce(
    (total, step) => total + ((pictures - 1) * step.scatter ** 2) / (step.variance - step.commonVariance),
    0,
  );
  return (sum + shareBefore.weight * shareBefore.share) / (freedom + shareBefore.weight);
}

/** What differs is averaged, the rest stays; a step whose pictures contradict each other keeps its own scatter. */
function sigmaOfMean(step: StepMean, share: number, pictures: number): number {
  const open = step.variance - step.commonVariance;
  const differing = Math.max(
    share * open,
    step.scatter > contradictionSigmas * Math.sqrt(step.variance) ? step.scatter ** 2 : 0,
  );
  return Math.sqrt(step.commonVariance + Math.max(0, 1 - share) * open + differing / pictures);
}

function contradictionWarnings(steps: readonly number[]): ReadingWarning[] {
  return steps.length === 0 ? [] : [{ code: "pictures-disagree", steps }];
}
