// Several pictures of one print: camera noise and the light's unevenness differ from one to the next, the print does not.
import type { ReadingStep } from "#shared/schema/reading.ts";
import type { MeasuredReading, ReadingWarning } from "./reading-facts.ts";

/** Readings of one step that differ by more than this many of their joint uncertainties contradict each other. */
const contradictionSigmas = 4;

/**
 * The mean of several readings of the same print.
 *
 * A step's uncertainty keeps the readings' own (grain and uneven coating are the same in every picture, so it does not
 * shrink with their number) and adds the standard uncertainty of the mean from their scatter.
 *
 * @param readings one or more with the same steps; the first gives picture, place and geometry
 * @throws RangeError when there is none, or the step counts differ
 */
export function averageReadings(readings: readonly MeasuredReading[]): MeasuredReading {
  const [first, ...further] = readings;
  if (first === undefined) throw new RangeError("averageReadings needs at least one reading.");
  if (further.length === 0) return first;
  if (further.some((reading) => reading.steps.length !== first.steps.length))
    throw new RangeError("averageReadings needs readings with the same steps.");
  const contradicting: number[] = [];
  const steps = first.steps.map((step, index) => {
    const versions = readings.map((reading) => reading.steps[index]).filter((each) => each !== undefined);
    const red = meanOf(versions.map((each) => ({ value: each.red, sigma: each.sigma })));
    const visual = meanOf(versions.map((each) => ({ value: each.visual, sigma: each.sigmaVisual })));
    if (red.scatter > contradictionSigmas * Math.max(red.ownSigma, 0.005)) contradicting.push(step.index);
    return {
      ...step,
      red: red.mean,
      visual: visual.mean,
      lightness: versions.reduce((sum, each) => sum + each.lightness, 0) / versions.length,
      sigma: red.sigma,
      sigmaVisual: visual.sigma,
      flags: sharedFlags(versions),
    };
  });
  return { ...first, steps, warnings: [...distinctWarnings(readings), ...contradictionWarnings(contradicting)] };
}

function meanOf(values: readonly { readonly value: number; readonly sigma: number }[]): {
  mean: number;
  sigma: number;
  ownSigma: number;
  scatter: number;
} {
  const count = values.length;
  const mean = values.reduce((sum, each) => sum + each.value, 0) / count;
  const ownVariance = values.reduce((sum, each) => sum + each.sigma ** 2, 0) / count;
  const scatterVariance = values.reduce((sum, each) => sum + (each.value - mean) ** 2, 0) / (count - 1);
  return {
    mean,
    sigma: Math.sqrt(ownVariance + scatterVariance / count),
    ownSigma: Math.sqrt(ownVariance),
    scatter: Math.sqrt(scatterVariance),
  };
}

/** A flag counts when at least half of the pictures carry it. */
function sharedFlags(versions: readonly ReadingStep[]): string[] {
  const all = new Set(versions.flatMap((each) => each.flags));
  return [...all].filter((flag) => versions.filter((each) => each.flags.includes(flag)).length * 2 >= versions.length);
}

function distinctWarnings(readings: readonly MeasuredReading[]): ReadingWarning[] {
  const byCode = new Map<string, ReadingWarning>();
  for (const warning of readings.flatMap((reading) => reading.warnings))
    if (!byCode.has(warning.code)) byCode.set(warning.code, warning);
  return [...byCode.values()];
}

function contradictionWarnings(steps: readonly number[]): ReadingWarning[] {
  return steps.length === 0 ? [] : [{ code: "pictures-disagree", steps }];
}
