// The ends of a strip. At either the field rises along the strip (paper to dark blue, pale step to blue surround), while every
// step boundary falls; beyond an end lies what lies beside the strip.
// Numbers: common practice, no source (tuned on rendered scenes).
import { median } from "#shared/statistics/robust.ts";
import { gridAt, pitchAt, type StepComb } from "./step-comb.ts";
import { fallAt, meanAlong, type StripBand } from "./strip-band.ts";

interface StripEnd {
  /** Place along the strip [small px]. */
  readonly s: number;
  /** Rise of the field across it. */
  readonly rise: number;
}

export type EndKind = "dark" | "pale";

/** Rows that have to show a rise: a sticker may hide the others. */
const rowsRising = 4;
/** Beyond an end the field equals what lies beside, to this share of the rise. */
const outsideSlack = 0.3;
/** An end whose outside looks like the surroundings over less than this share of the rows is none. */
const leastOutsideShare = 0.8;
/** Where the outside is looked at, in pitches from the end. */
const outsideFrom = 0.12;
const outsideTo = 0.42;

/** Difference between strip and surroundings that counts as seen (log10). */
const leastContrast = 0.05;
/** Inside an end the strip stands out from beside it by this share of what the field rises across the end. */
const contrastShareOfRise = 0.5;
/** ... over so many steps: brushed edges run beside it here and there only. */
const contrastReach = 3.5;
const contrastParts = 7;
/** An end that falls, rather than rises, falls this many times as much as the boundaries next to it. */
const farEndFall = 1.8;
/** ... stands out from beside it before by most of its fall, and by little of it beyond. */
const farContrastBefore = 0.6;
const farContrastBeyond = 0.4;

/** An end, and how the strip inside it stands out from what lies beside: above 0 where the strip is bluer. */
export interface SeenEnd extends StripEnd {
  readonly contrast: number;
}

/** The end next to the run of boundaries, if one is seen: it must stand out from what lies beside the strip. */
export function endNextTo(
  band: StripBand,
  comb: StepComb,
  { kind, steps, leastRise }: { readonly kind: EndKind; readonly steps: number; readonly leastRise: number },
): SeenEnd | null {
  const { grid, boundaries } = comb;
  const [first, last] = [boundaries[0]!, boundaries.at(-1)!];
  const range: [number, number] =
    kind === "dark"
      ? [gridAt(grid, first.k - steps - 1), first.s - 0.5 * pitchAt(grid, first.k)]
      : [last.s + 0.5 * pitchAt(grid, last.k), gridAt(grid, last.k + steps + 1)];
  if (range.some((s) => !Number.isFinite(s))) return null;
  const pitch = pitchAt(grid, kind === "dark" ? first.k : last.k);
  for (const end of stripEnds(band, kind, { range, pitchPx: pitch, leastRise })) {
    const reach = Math.min(contrastReach, steps / 3) * pitch;
    const contrast =
      kind === "dark"
        ? contrastBeside(band, end.s + 0.2 * pitch, end.s + reach)
        : contrastBeside(band, end.s - reach, end.s - 0.2 * pitch);
    if ((kind === "dark" ? contrast : -contrast) > Math.max(leastContrast, contrastShareOfRise * end.rise))
      return { ...end, contrast };
  }
  return null;
}

/**
 * The end that does not rise, where it can be told: the pale end on paper, or the dark end in blue, when it falls more than the
 * boundaries next to it and leaves no contrast to what lies beside.
 * @returns its place along the strip [small px], or null
 */
export function farEnd(band: StripBand, { grid, boundaries }: StepComb, kind: EndKind): number | null {
  const outwards = kind === "pale" ? boundaries : [...boundaries].reverse();
  const end = outwards.at(-1);
  const neighbours = outwards
    .slice(-4, -1)
    .map((b) => b.fall)
    .sort((a, b) => a - b);
  if (end === undefined || neighbours.length < 3 || end.fall < farEndFall * neighbours[1]!) return null;
  const pitch = pitchAt(grid, end.k);
  const sign = kind === "pale" ? 1 : -1;
  const beside = (from: number, to: number) =>
    sign *
    contrastBeside(
      band,
      Math.min(end.s + sign * from * pitch, end.s + sign * to * pitch),
      Math.max(end.s + sign * from * pitch, end.s + sign * to * pitch),
    );
  return beside(-1, -0.2) > farContrastBefore * end.fall && Math.abs(beside(0.2, 1)) < farContrastBeyond * end.fall
    ? end.s
    : null;
}

/**
 * Rises that could be an end of the strip, nearest to the run of boundaries first.
 * @param kind which end: the dark one lies before the run, the pale one after it
 * @param range where to look along the strip [small px]
 * @param pitchPx spacing of the boundaries there
 * @param leastRise smaller rises are none
 */
function stripEnds(
  band: StripBand,
  kind: EndKind,
  {
    range,
    pitchPx,
    leastRise,
  }: { readonly range: readonly [number, number]; readonly pitchPx: number; readonly leastRise: number },
): StripEnd[] {
  const half = Math.min(Math.max(0.3 * pitchPx, 1.2), 8);
  const [from, to] = [Math.max(range[0], band.from + half), Math.min(range[1], band.from + band.count - half)];
  const stepPx = 0.5;
  const count = Math.max(0, Math.floor((to - from) / stepPx));
  const rises = new Float32Array(count);
  const across = new Float32Array(band.rows.length);
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < across.length; j++) across[j] = fallAt(band, from + i * stepPx, half, band.rowSums[j]);
    across.sort();
    // Falls are negative here; the rowsRising-th strongest rise.
    rises[i] = -across[rowsRising - 1]!;
  }
  const ends: StripEnd[] = [];
  const apart = Math.ceil(half / stepPx);
  for (let i = 0; i < count; i++) {
    if (rises[i]! < leastRise || !isPeak(rises, i, apart)) continue;
    const s = from + i * stepPx;
    if (outsideLike(band, kind, { s, pitchPx, rise: rises[i]! }) >= leastOutsideShare)
      ends.push({ s, rise: rises[i]! });
  }
  return kind === "dark" ? ends.reverse() : ends;
}

function isPeak(values: Float32Array, i: number, apart: number): boolean {
  for (let j = Math.max(0, i - apart); j <= Math.min(values.length - 1, i + apart); j++) {
    if (values[j]! > values[i]! || (values[j]! === values[i]! && j < i)) return false;
  }
  return true;
}

/** Share of the rows that look, just beyond an end, like what lies beside the strip there. */
function outsideLike(
  band: StripBand,
  kind: EndKind,
  { s, pitchPx, rise }: { readonly s: number; readonly pitchPx: number; readonly rise: number },
): number {
  const sign = kind === "dark" ? -1 : 1;
  const [a, b] = [s + sign * Math.max(1.5, outsideFrom * pitchPx), s + sign * Math.max(3, outsideTo * pitchPx)];
  const [s0, s1] = [Math.min(a, b), Math.max(a, b)];
  const beside = band.beside.map((sums) => meanAlong(band, sums, s0, s1));
  if (beside.some(Number.isNaN)) return 0;
  const slack = outsideSlack * rise;
  let like = 0;
  for (const sums of band.rowSums) {
    const value = meanAlong(band, sums, s0, s1);
    if (beside.some((level) => Math.abs(value - level) < slack)) like++;
  }
  return like / band.rowSums.length;
}

/** Contrast of the strip to what lies beside it between two places: inside minus beside, on the side that differs less; a thing lying on less than half of it has no say. */
function contrastBeside(band: StripBand, s0: number, s1: number): number {
  const sides = band.beside
    .map((sums) => {
      const parts = Array.from({ length: contrastParts }, (_, i) => {
        const [from, to] = [s0 + ((s1 - s0) * i) / contrastParts, s0 + ((s1 - s0) * (i + 1)) / contrastParts];
        return meanAlong(band, band.sums, from, to) - meanAlong(band, sums, from, to);
      }).filter((value) => !Number.isNaN(value));
      return parts.length === 0 ? Number.NaN : median(parts);
    })
    .filter((value) => !Number.isNaN(value));
  return sides.reduce((least, value) => (Math.abs(value) < Math.abs(least) ? value : least), sides[0] ?? 0);
}
