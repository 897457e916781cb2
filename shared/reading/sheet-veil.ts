// How far the sheet's own white is veiled, from the bare paper beyond the coating: densest film on paper, or paper
// itself.
import { median, robustSigma } from "#shared/statistics/robust.ts";

/**
 * One square of whatever lies round the sheet: its light over the light of the sheet's own white beside it, as log10
 * for each channel.
 */
export interface SquareBeyond {
  readonly red: number;
  readonly blue: number;
  readonly luminance: number;
}

export interface SheetVeil {
  /** Densities of the sheet's own white above bare paper. */
  readonly red: number;
  readonly visual: number;
  /** Standard uncertainty of `red`. */
  readonly sigma: number;
}

/** Paper that is this little lighter than the sheet's white is the same white [density]. */
const sameWhite = 0.02;
/** A veil deeper than this is no print that anyone wants read [density]. */
const deepestVeil = 0.9;
/**
 * Iron blue takes far less blue light than red: a veil's blue density is at most this share of its red one. What is
 * lighter in all colours alike is other paper, a table or the scanner's lid. The share is from memory, with room for
 * other cameras' blue.
 */
const mostBlueShare = 0.6;
/** Bare paper looks the same all round: its squares lie this close together [density]. */
const paperWidth = 0.03;
const fewestSquares = 6;
/**
 * Light falls on from the sheet to its surroundings a little otherwise than over the sheet: standard uncertainty
 * [density]. Our judgement.
 */
const sigmaLight = 0.01;

/**
 * The veil over a sheet's white.
 * @param squares squares outside the sheet, darker ones (coating, table) included
 * @returns null where no bare paper is seen; red 0 where the paper is no lighter than the sheet's white
 * Source: common practice, no source.
 */
export function sheetVeil(squares: readonly SquareBeyond[]): SheetVeil | null {
  const candidates = squares.filter(
    ({ red, blue }) =>
      red > -sameWhite && red < deepestVeil && Math.abs(blue) <= sameWhite + mostBlueShare * Math.max(0, red),
  );
  const paper = widestCluster(candidates);
  if (paper.length < fewestSquares) return null;
  const reds = paper.map(({ red }) => red);
  const red = median(reds);
  return {
    red: Math.max(0, red),
    visual: Math.max(0, median(paper.map(({ luminance }) => luminance))),
    sigma: Math.hypot(sigmaLight, robustSigma(reds) / Math.sqrt(paper.length / 4)),
  };
}

/** The most squares whose red lies within `paperWidth`. */
function widestCluster(squares: readonly SquareBeyond[]): readonly SquareBeyond[] {
  const sorted = [...squares].sort((a, b) => a.red - b.red);
  let best: readonly SquareBeyond[] = [];
  let from = 0;
  for (let until = 0; until < sorted.length; until++) {
    while (sorted[until]!.red - sorted[from]!.red > paperWidth) from++;
    if (until + 1 - from > best.length) best = sorted.slice(from, until + 1);
  }
  return best;
}
