// An anchor is a print of known outcome made in the sun. The model turns its exposure into a dose; only the ratio of
// two
// modelled doses is ever shown as a time, so that the model's own level, the glass, the film and the coating cancel.
import { countedDose, type CountedDose, type Turn } from "#shared/sun/frames/counted-dose.ts";
import { readyScene, sunInScene, type SunScene } from "#shared/sun/sky/printing-strength.ts";
import { hazeBounds } from "#shared/sun/sky/surroundings.ts";

/** How an anchor's print was exposed. */
export interface AnchorExposure {
  readonly scene: SunScene;
  readonly startMs: number;
  readonly exposureSeconds: number;
  /** Stretches in which the sun was hidden [ms of UTC]. */
  readonly hidden?: readonly { readonly fromMs: number; readonly untilMs: number }[];
  /** How the frame was turned or glazed on the way, rising; `scene` is how it went out. */
  readonly turns?: readonly Turn[];
  /** Minutes of hidden sun whose time nobody noted, besides `hidden`. */
  readonly cloudMinutes?: number;
  /** Dose that a witness strip told, instead of the model's. */
  readonly measured?: CountedDose;
  /** Wanted dose as a multiple of the dose that the print got; 1 when the print came out right. */
  readonly wantedMultiple: number;
  /** 95 % range of `wantedMultiple`, for the print's own reasons. */
  readonly lowerMultiple: number;
  readonly upperMultiple: number;
}

/** An anchor as the plan uses it. */
export interface Anchor {
  readonly name: string;
  /** Dose that the wanted tone needs [action-weighted J/m²]. */
  readonly dose: number;
  /** 95 % half-ranges of ln dose, for the print's own reasons. */
  readonly lowerLn: number;
  readonly upperLn: number;
  /** Apparent zenith angle of the sun in the middle of its exposure [°]. */
  readonly zenithDegrees: number;
  readonly middleMs: number;
  readonly scene: SunScene;
}

/**
 * The anchor that a print of known outcome gives.
 * @returns null when the model finds no light on that frame at that time (a slip in place, date or offset).
 * Source: SunAnchor.
 */
export function anchorFrom(name: string, exposure: AnchorExposure): Anchor | null {
  const endMs = exposure.startMs + exposure.exposureSeconds * 1000;
  const reckoned = countedDose(exposure.scene, {
    startMs: exposure.startMs,
    endMs,
    hidden: exposure.hidden ?? [],
    turns: exposure.turns ?? [],
    cloudMinutes: exposure.cloudMinutes ?? 0,
  });
  if (!(reckoned.likely > 0)) return null;
  const counted = exposure.measured ?? reckoned;
  const middleMs = (exposure.startMs + endMs) / 2;
  // More dose behind the same tone means that more is wanted, so the hidden minutes widen both sides.
  return {
    name,
    dose: counted.likely * exposure.wantedMultiple,
    lowerLn: Math.hypot(
      Math.log(exposure.wantedMultiple / exposure.lowerMultiple),
      Math.log(counted.likely / counted.lowest),
    ),
    upperLn: Math.hypot(
      Math.log(exposure.upperMultiple / exposure.wantedMultiple),
      Math.log(counted.highest / counted.likely),
    ),
    zenithDegrees: sunInScene(readyScene(exposure.scene), middleMs).zenithDegrees,
    middleMs,
    scene: exposure.scene,
  };
}

/** Haze found from anchors. */
export interface HazeFit {
  /** Aerosol optical depth at 500 nm. */
  readonly haze: number;
  /** Whether the search ended at a bound, so that the true value may lie beyond. */
  readonly atBound: boolean;
  /** Standard deviation of ln dose over the anchors, before and after. */
  readonly spreadBefore: number;
  readonly spreadAfter: number;
}

/** Least difference in zenith angle between two anchors that can tell haze from chance [°]. Our judgement. */
const separatedDegrees = 20;
const sameDayMs = 86_400_000 / 2;

function standardDeviation(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}

/**
 * Haze that makes the anchors of one clear day agree best: least spread of ln dose, by golden section over ln haze.
 * @param exposures of one combination of coating, support and film
 * @returns null when no two of them lie within twelve hours and at least 20° of zenith apart.
 * Source: SunAnchor; bounds 0.02 to 0.6.
 */
export function fittedHaze(exposures: readonly AnchorExposure[]): HazeFit | null {
  const middle = (exposure: AnchorExposure): number => exposure.startMs + exposure.exposureSeconds * 500;
  const zenith = (exposure: AnchorExposure): number =>
    sunInScene(readyScene(exposure.scene), middle(exposure)).zenithDegrees;
  const separated = exposures.some((a) =>
    exposures.some(
      (b) => Math.abs(middle(a) - middle(b)) <= sameDayMs && Math.abs(zenith(a) - zenith(b)) >= separatedDegrees,
    ),
  );
  if (!separated) return null;
  const spread = (haze: number | null): number =>
    standardDeviation(
      exposures.map((exposure) => {
        const scene = haze === null ? exposure.scene : { ...exposure.scene, haze };
        return Math.log(anchorFrom("", { ...exposure, scene })?.dose ?? Number.MIN_VALUE);
      }),
    );
  const golden = (Math.sqrt(5) - 1) / 2;
  let low = Math.log(hazeBounds.least);
  let high = Math.log(hazeBounds.most);
  let left = high - golden * (high - low);
  let right = low + golden * (high - low);
  let spreadLeft = spread(Math.exp(left));
  let spreadRight = spread(Math.exp(right));
  while (high - low > 0.005) {
    if (spreadLeft < spreadRight) {
      [high, right, spreadRight] = [right, left, spreadLeft];
      left = high - golden * (high - low);
      spreadLeft = spread(Math.exp(left));
    } else {
      [low, left, spreadLeft] = [left, right, spreadRight];
      right = low + golden * (high - low);
      spreadRight = spread(Math.exp(right));
    }
  }
  const haze = Math.exp((low + high) / 2);
  return {
    haze,
    atBound: haze < hazeBounds.least * 1.01 || haze > hazeBounds.most / 1.01,
    spreadBefore: spread(null),
    spreadAfter: spread(haze),
  };
}
