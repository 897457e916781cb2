// How far the model may be trusted from one anchor to another hour. Judgement drawn from comparisons with measurements
// and with radiative transfer, since the two pull in opposite directions.
import { greatCircleKm } from "#shared/sun/anchors/place-distance.ts";
import { lostSkyShare } from "./horizon.ts";
import type { SunScene } from "./printing-strength.ts";
import { planeAngleDegrees } from "./tilted-plane.ts";

/** When, where and under how high a sun a print is exposed. */
export interface SunSituation {
  /** Apparent zenith angle in the middle of the exposure [°]. */
  readonly zenithDegrees: number;
  readonly middleMs: number;
  readonly scene: SunScene;
}

/** Half-range of the model between two exposures, and where it comes from. */
export interface ModelRange {
  /** 95 % half-range as a share of the dose. */
  readonly share: number;
  readonly zenithApartDegrees: number;
  readonly otherSeason: boolean;
  readonly lowSun: boolean;
  /** Part of the share that another height, ground, haze, tilt or place than the anchor's adds. */
  readonly elsewhereShare: number;
}

/**
 * Same sky by eye, within 20° of zenith angle. Measured clear skies of two places, 16-minute means scaled by one
 * another: 94 to 99 % of them within it (3,000 to 5,800 pairs a group), 68 to 81 % within 5 %; a day of smoke that
 * looked clear needed 28 %.
 */
const nearShare = 0.1;
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
/**
 * For each kilometre of height apart: measured gains of 9 ± 2 % against about 5 of the model.
 * Source: BlumthalerEtAl1997.
 */
const shareForEachKm = 0.03;
/**
 * For a frame at right angles to the anchor's, times the sine of the angle between them: two models of the sky differ
 * so. Our judgement.
 */
const turnedShare = 0.05;
/**
 * For ground that throws back all instead of nothing: half of what the model gains by it, since nobody knows how far it
 * reaches. Our judgement.
 */
const groundShareOfRange = 0.16;
/** For each unit of haze apart, since haze is judged by eye; never more than another season's. Our judgement. */
const shareForHaze = 0.25;
/**
 * For all of the sky hidden instead of none: what walls and trees throw back is not counted, and the sky is not as even
 * as the model's. Our judgement.
 */
const shareForLostSky = 0.3;
/** Another region's haze, from these distances on [km]. Our judgement. */
const regionShare = 0.1;
const sameRegionKm = 20;
const otherRegionKm = 200;

/** Straight line through the points (x0, y0) and (x1, y1), held level outside. */
function ramp(x: number, x0: number, y0: number, x1: number, y1: number): number {
  return y0 + (y1 - y0) * Math.min(1, Math.max(0, (x - x0) / (x1 - x0)));
}

/**
 * What differs between two scenes besides the sun's height and the season: the part that adds up, and the part of the
 * region's haze.
 */
function elsewhere(a: SunScene, b: SunScene): { readonly adds: number; readonly region: number } {
  const angle = Math.min(90, planeAngleDegrees(a.plane, b.plane));
  return {
    adds:
      shareForEachKm * (Math.abs(a.elevationM - b.elevationM) / 1000) +
      turnedShare * Math.sin((angle * Math.PI) / 180) +
      groundShareOfRange * Math.abs(a.groundShare - b.groundShare) +
      shareForLostSky * Math.abs(lostSkyShare(a.horizon ?? [0]) - lostSkyShare(b.horizon ?? [0])) +
      Math.min(seasonShare, shareForHaze * Math.abs(a.haze - b.haze)),
    region: ramp(greatCircleKm(a.place, b.place), sameRegionKm, 0, otherRegionKm, regionShare),
  };
}

/**
 * 95 % half-range of the modelled ratio between an anchor and another exposure.
 * @param anchor null when only a dose is known: then as far apart as can be
 * @returns share of the dose: 0.10 near the anchor; up to 0.15 with the sun 30° and more higher or lower; 0.15 for
 *   another season; at least
 * 0.25 beyond zenith 75°; more for another height, tilt, ground, haze or region.
 * Source: SunAnchor (judgement), BlumthalerEtAl1997 for height; between its steps straight lines.
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
  const other = anchor === null ? { adds: 0, region: 0 } : elsewhere(anchor.scene, exposure.scene);
  // Season and region both change the haze: independent doubts beside the height of the sun. What else differs is
  // one-sided and adds.
  const atHome = Math.hypot(byZenith, bySeason);
  const both = Math.hypot(byZenith, bySeason, other.region) + other.adds;
  const lowest = Math.max(exposure.zenithDegrees, anchor?.zenithDegrees ?? 0);
  return {
    share: Math.max(both, ramp(lowest, lowSunFromDegrees, both, lowSunFullDegrees, lowSunShare)),
    zenithApartDegrees,
    otherSeason: seasonDays > sameSeasonDays,
    lowSun: lowest > lowSunFromDegrees,
    elsewhereShare: both - atHome,
  };
}
