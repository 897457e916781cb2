// The small strip beside a picture says how far film, coating and light have moved since the wedge sheet was printed:
// the sheet's tones are moved as the strips show, no further than they can be believed.
import type { Tone } from "#shared/schema/correction.ts";
import { choleskyFactor, choleskySolve } from "#shared/statistics/cholesky.ts";
import { isotonicRegression } from "#shared/statistics/isotonic-regression.ts";
import { monotoneCubic, monotoneCubicAt } from "#shared/statistics/monotone-cubic.ts";
import { densityShift } from "#shared/correction/density-shift.ts";
import { topLevel } from "#shared/correction/grey-level.ts";
import { sentAt } from "#shared/correction/refine-correction.ts";
import { lightnessPerDensity } from "#shared/correction/tone-scale.ts";

/** One print's strip. */
export interface StripTones {
  /** Level sent for each wanted level by the curve that the negative was made with: 256 numbers. */
  readonly sentLevels: readonly number[];
  /** Tones of the strip: `level` is the wanted level. */
  readonly tones: readonly Tone[];
}

/**
 * What a drift can be, as standard deviations of L*: all tones in proportion to their darkness (coating day, exposure),
 * and a smooth bend over the tones (ink, film, humidity), alike within some `bendLevels` of the print's own scale from
 * darkest to lightest: on a dense film all tones lie within few levels sent. Our judgement.
 */
const proportionLightness = 6;
const bendLightness = 10;
const bendLevels = 35;
/**
 * What one strip does not know of its own print, L*: its patches lie in one place of one coating, whose evenness it
 * cannot see, and each patch is printed once. Our judgement, from coatings uneven by 3 %.
 */
const placeLightness = 0.8;
const patchLightness = 0.3;
/** How much an older strip says less, L* a print since. */
const ageLightness = 0.5;

/**
 * Tones of a wedge sheet moved by what the strips of later prints show.
 * @param sheet tones of the sheet: `level` is what was sent to the film printer
 * @param strips oldest first
 * @returns the sheet's tones at their levels, lightness and density moved by the most likely drift, and between them
 *   tones at the levels that the strips' patches were sent: on a film much denser than its coating needs, the whole
 *   scale lies between two or three levels of the sheet, and what the strips saw there would be lost
 * Source: Gaussian process regression (RasmussenWilliams2006, algorithm 2.1); its spreads are our judgement
 */
export function driftedTones(sheet: readonly Tone[], strips: readonly StripTones[]): Tone[] {
  const scale = [...sheet].sort((a, b) => a.level - b.level);
  const { seen, matrix, darknessAt, lightnessBefore } = driftSeen(scale, strips);
  /** The sheet's own tone at a level that it lacks, as well known as one patch. */
  const toneAt = (level: number): Tone => {
    const lightness = lightnessBefore(level);
    const near = scale.reduce((a, b) => (Math.abs(b.level - level) < Math.abs(a.level - level) ? b : a));
    return {
      level,
      lightness,
      density: near.density + densityShift(near.lightness, lightness),
      sigma: patchLightness / lightnessPerDensity(lightness),
    };
  };
  if (seen.length === 0) return scale;
  const weights = choleskySolve(
    choleskyFactor(matrix, seen.length),
    seen.map(({ moved }) => moved),
  );
  const known = new Set(scale.map(({ level }) => level));
  const between = seen.filter(({ level }) => !known.has(level)).map(({ level }) => toneAt(level));
  return [...scale, ...between]
    .sort((a, b) => a.level - b.level)
    .map((tone) => {
      const darkness = darknessAt(tone.lightness);
      const drift = seen.reduce((sum, each, index) => sum + weights[index]! * alike(darkness, each.darkness), 0);
      const lightness = Math.min(100, Math.max(0, tone.lightness + drift));
      return { ...tone, lightness, density: tone.density + densityShift(tone.lightness, lightness) };
    });
}

/** What one patch of a strip saw. */
interface SeenPatch {
  /** Which strip, from 0, and which of its patches, from 1. */
  readonly print: number;
  readonly patch: number;
  /** Level sent. */
  readonly level: number;
  /** How much lighter it came out than the sheet did at this level, L*. */
  readonly moved: number;
  /** Place on the sheet's scale: 0 at its lightest tone, 1 at its darkest. */
  readonly darkness: number;
  /** Of the patch alone, L* squared. */
  readonly variance: number;
}

/** What strips saw of a drift, and how alike that is from patch to patch: a matrix row by row, L* squared. */
export function driftSeen(
  scale: readonly Tone[],
  strips: readonly StripTones[],
): {
  readonly seen: readonly SeenPatch[];
  readonly matrix: Float64Array;
  readonly darknessAt: (lightness: number) => number;
  readonly lightnessBefore: (level: number) => number;
} {
  const lightest = Math.max(...scale.map(({ lightness }) => lightness));
  const darkest = Math.min(...scale.map(({ lightness }) => lightness));
  const lightnessBefore = lightnessOf(scale);
  const darknessAt = (lightness: number): number => (lightest - lightness) / Math.max(1, lightest - darkest);
  const seen = strips.flatMap(({ sentLevels, tones }, print) =>
    tones.map((tone, index): SeenPatch => {
      const level = sentAt(sentLevels, tone.level);
      const ofReading = lightnessPerDensity(tone.lightness) * tone.sigma;
      const age = (strips.length - 1 - print) * ageLightness;
      const before = lightnessBefore(level);
      return {
        print,
        patch: index + 1,
        level,
        moved: tone.lightness - before,
        darkness: darknessAt(before),
        variance: ofReading ** 2 + patchLightness ** 2 + age ** 2,
      };
    }),
  );
  const matrix = Float64Array.from({ length: seen.length ** 2 }, (_, at) => {
    const [a, b] = [seen[Math.floor(at / seen.length)]!, seen[at % seen.length]!];
    // What a strip's place does to it, it does to all its patches, in proportion to their blue.
    const place = a.print === b.print ? placeLightness ** 2 * shareOfPlace(a.darkness) * shareOfPlace(b.darkness) : 0;
    return alike(a.darkness, b.darkness) + place + (a === b ? a.variance : 0);
  });
  return { seen, matrix, darknessAt, lightnessBefore };
}

/** How alike the drift of two tones is, L* squared. */
function alike(a: number, b: number): number {
  return (
    proportionLightness ** 2 * a * b +
    bendLightness ** 2 * Math.exp(-((topLevel * (a - b)) ** 2) / (2 * bendLevels ** 2))
  );
}

/** A coating that is thicker at one place darkens middle tones most on the scale of L*; paper and full blue hardly. */
function shareOfPlace(darkness: number): number {
  return 4 * darkness * Math.max(0, 1 - darkness);
}

/** Lightness of the sheet at any level, smooth and rising with its tones; the nearest end beyond them. */
function lightnessOf(scale: readonly Tone[]): (level: number) => number {
  const distinct = scale.filter(({ level }, i) => i === 0 || level > (scale[i - 1]?.level ?? -1));
  if (distinct.length < 2) return () => distinct[0]?.lightness ?? 0;
  const curve = monotoneCubic(
    distinct.map(({ level }) => level),
    isotonicRegression(distinct.map(({ lightness }) => lightness)),
  );
  const [first, last] = [distinct[0]?.level ?? 0, distinct.at(-1)?.level ?? topLevel];
  return (level) => monotoneCubicAt(curve, Math.min(last, Math.max(first, level)));
}
