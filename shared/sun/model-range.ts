// How far the model may be trusted from one anchor to another hour. Judgement drawn from comparisons with measurements
// and with radiative transfer, since the two pull in opposite directions.

/** When and under how high a sun a print is exposed. */
export interface SunSituation {
  /** Apparent zenith angle in the middle of the exposure [°]. */
  readonly zenithDegrees: number;
  readonly middleMs: number;
}

/** Half-range of the model between two exposures, and where it comes from. */
export interface ModelRange {
  /** 95 % half-range as a share of the dose. */
  readonly share: number;
  readonly zenithApartDegrees: number;
  readonly otherSeason: boolean;
  readonly lowSun: boolean;
}

const nearShare = 0.05; // same sky, within 20° of zenith angle
const farShare = 0.125; // zenith 30 against 70
const farthestShare = 0.15;
const seasonShare = 0.15; // another season's haze
const lowSunShare = 0.25; // beyond zenith 75
const nearDegrees = 20;
const farDegrees = 40;
const farthestDegrees = 60;
const sameSeasonDays = 30;
const otherSeasonDays = 60;
const lowSunFromDegrees = 70;
const lowSunFullDegrees = 75;
const yearDays = 365.25;

/** Straight line through the points (x0, y0) and (x1, y1), held level outside. */
function ramp(x: number, x0: number, y0: number, x1: number, y1: number): number {
  return y0 + (y1 - y0) * Math.min(1, Math.max(0, (x - x0) / (x1 - x0)));
}

/**
 * 95 % half-range of the modelled ratio between an anchor and another exposure.
 * @param anchor null when only a dose is known: then as far apart as can be
 * @returns share of the dose: 0.05 near the anchor; 0.10 to 0.15 with the sun 30° and more higher or lower; 0.15 for another season; at least 0.25 beyond zenith 75°.
 * Source: SunAnchor (judgement); between its steps straight lines.
 */
export function modelRange(anchor: SunSituation | null, exposure: SunSituation): ModelRange {
  const zenithApartDegrees =
    anchor === null ? farthestDegrees : Math.abs(anchor.zenithDegrees - exposure.zenithDegrees);
  const apartDays =
    anchor === null ? yearDays / 2 : (Math.abs(anchor.middleMs - exposure.middleMs) / 86_400_000) % yearDays;
  const seasonDays = Math.min(apartDays, yearDays - apartDays);
  const byZenith =
    zenithApartDegrees <= farDegrees
      ? ramp(zenithApartDegrees, nearDegrees, nearShare, farDegrees, farShare)
      : ramp(zenithApartDegrees, farDegrees, farShare, farthestDegrees, farthestShare);
  const bySeason = ramp(seasonDays, sameSeasonDays, 0, otherSeasonDays, seasonShare);
  const both = Math.hypot(byZenith, bySeason);
  const lowest = Math.max(exposure.zenithDegrees, anchor?.zenithDegrees ?? 0);
  return {
    share: Math.max(both, ramp(lowest, lowSunFromDegrees, both, lowSunFullDegrees, lowSunShare)),
    zenithApartDegrees,
    otherSeason: seasonDays > sameSeasonDays,
    lowSun: lowest > lowSunFromDegrees,
  };
}
