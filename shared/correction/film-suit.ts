// Whether the film suits the coating in this light, in figures, from the print of a wedge sheet: how much ink is more
// than needed, or how much density is short.
import type { Curve } from "#shared/schema/curve.ts";
import type { FilmSuit, Tone } from "#shared/schema/correction.ts";
import { logHAtDensity } from "#shared/curve/curve-at.ts";
import type { FilmFromPrint } from "#shared/film/film-from-print.ts";
import { topLevel } from "./grey-level.ts";

/** Tones closer than this to the lightest look alike, L*. common practice, no source */
const lookAlikeLightness = 1;
/** Paper veiled by less than this is clean, visual density. common practice, no source */
const cleanPaperDensity = 0.03;
/** Levels at the light end that may print alike before ink is worth saving. common practice, no source */
const harmlessLevels = 16;
/** Ink that is kept above what just holds the paper white, as a share of it: prints differ. Our judgement. */
const spareInkShare = 0.08;
/** Part of the measured film, from its dense end, by whose slope the unseen rest is judged. */
const slopeShare = 0.4;

export interface FilmSuitInput {
  /** Tones of the print, replicates averaged, levels rising. */
  readonly tones: readonly Tone[];
  /** Smooth lightness of each level 0-255. */
  readonly lightness: readonly number[];
  /** False where the zero is the print's own lightest tone. */
  readonly isVeilKnown: boolean;
  /** Film measured by a tablet printed with the sheet; null without one. */
  readonly film: Pick<FilmFromPrint, "levels"> | null;
  /** That tablet's curve, and the sheet's lightest density in the curve's channel; null without one. */
  readonly coating: { readonly curve: Curve; readonly lightestDensity: number } | null;
}

/**
 * The film's range in this light against the coating's.
 * @returns figures; densities are ultraviolet densities of the film, null where no tablet lay beside the sheet
 * Source: common practice, no source; the coating's toe as in Iso6846
 */
export function filmSuit({ tones, lightness, isVeilKnown, film, coating }: FilmSuitInput): FilmSuit {
  const lightest = tones.at(-1);
  if (!isVeilKnown || lightest === undefined || lightest.level < topLevel - 8) return { code: "film-unknown" };
  if (lightest.density > Math.max(cleanPaperDensity, 3 * lightest.sigma))
    return { code: "film-short", veilDensity: lightest.density, shortDensity: shortOf(coating) };
  const whitest = lightness.at(-1) ?? 0;
  const whiteFromLevel = lightness.findIndex((value) => value >= whitest - lookAlikeLightness);
  if (topLevel - whiteFromLevel <= harmlessLevels) return { code: "film-fits", whiteFromLevel };
  const inkShare = Math.min(1, (whiteFromLevel * (1 + spareInkShare)) / topLevel);
  return {
    code: "film-dense",
    whiteFromLevel,
    lessInkShare: 1 - inkShare,
    levelsGained: Math.max(0, Math.round(whiteFromLevel / inkShare - whiteFromLevel)),
    excessDensity: film === null ? null : excessOf(film.levels, whiteFromLevel),
  };
}

/** How much less light the lightest tone would need to print as paper: log exposure from its blue to the toe. */
function shortOf(coating: FilmSuitInput["coating"]): number | null {
  const toe = coating?.curve.points.toe?.logH;
  if (coating === null || toe === undefined) return null;
  const here = logHAtDensity(coating.curve, coating.curve.dMin + coating.lightestDensity);
  return here === null ? null : Math.max(0, here - toe);
}

/** Density of the film above what the coating can see, by the slope of its dense end as far as it was measured. */
function excessOf(levels: FilmFromPrint["levels"], whiteFromLevel: number): number | null {
  const exact = levels.filter(({ bound, level }) => bound === "exact" && level <= whiteFromLevel);
  const last = exact.at(-1);
  if (last === undefined) return null;
  const first = exact.find(({ level }) => level >= last.level * (1 - slopeShare));
  if (first === undefined || last.level - first.level < 8) return null;
  const slope = (last.filmDensity - first.filmDensity) / (last.level - first.level);
  return Math.max(0, slope * (topLevel - whiteFromLevel));
}
