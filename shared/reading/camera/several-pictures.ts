// What is worth knowing about several pictures of one print together.
import type { MeasuredReading, ReadingWarning } from "#shared/reading/reading-facts.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";
import { median } from "#shared/statistics/robust.ts";

/** What a lighter or darker picture does to its own tones: another exposure of the same print makes it good. */
const exposureFlags: ReadonlySet<string> = new Set(["clipped", "crushed", "out-of-gamut"]);
const exposureCodes: ReadonlySet<string> = new Set([
  "no-paper",
  "paper-clipped",
  ...[...exposureFlags].map((flag) => `steps-${flag}`),
]);

/** Warnings of all pictures, each code once. */
export function distinctWarnings(readings: readonly MeasuredReading[]): ReadingWarning[] {
  const byCode = new Map<string, ReadingWarning>();
  for (const warning of readings.flatMap((reading) => reading.warnings))
    if (!byCode.has(warning.code)) byCode.set(warning.code, warning);
  return [...byCode.values()];
}

/** ... of pictures that were taken lighter and darker on purpose: what one lost, another may hold. */
export function warningsOfBracket(readings: readonly MeasuredReading[]): ReadingWarning[] {
  return distinctWarnings(readings).flatMap((warning) => {
    if (!exposureCodes.has(warning.code)) return [warning];
    const inEach = readings.map(({ warnings }) => warnings.find(({ code }) => code === warning.code));
    if (inEach.includes(undefined)) return [];
    if (!("steps" in warning)) return [warning];
    const steps = warning.steps.filter((step) =>
      inEach.every((each) => each !== undefined && stepsIn(each).includes(step)),
    );
    return steps.length === 0 ? [] : [{ ...warning, steps }];
  });
}

const stepsIn = (warning: ReadingWarning): readonly number[] => ("steps" in warning ? warning.steps : []);

/** A flag counts when at least half of the pictures carry it. */
export function sharedFlags(versions: readonly ReadingStep[]): string[] {
  const all = new Set(versions.flatMap((each) => each.flags));
  return [...all].filter((flag) => versions.filter((each) => each.flags.includes(flag)).length * 2 >= versions.length);
}

/** ... in pictures taken lighter and darker on purpose, a tone that is cut off only when all of them do. */
export function flagsOfBracket(versions: readonly ReadingStep[]): string[] {
  return sharedFlags(versions).filter(
    (flag) => !exposureFlags.has(flag) || versions.every(({ flags }) => flags.includes(flag)),
  );
}

/** By how much pictures differ in brightness, from the darkest to the lightest [stops], by the steps they show. */
export function brightnessSpreadStops(readings: readonly MeasuredReading[]): number {
  const [first, ...further] = readings.map(({ light }) => light?.steps ?? []);
  const beside = further.map((steps) => {
    const ratios = steps.flatMap((step, i) => {
      const other = first?.[i] ?? null;
      return step === null || other === null ? [] : [Math.log2(step.light / other.light)];
    });
    return ratios.length === 0 ? 0 : median(ratios);
  });
  return Math.max(0, ...beside) - Math.min(0, ...beside);
}
