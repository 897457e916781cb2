// What goes wrong between a coating and its densities: tablet, coating, camera.
import { coatingSizes } from "#shared/curve/coating-sizes.ts";
import { usualCoating } from "#shared/curve/systematic-errors.ts";
import { decodeSrgb, encodeSrgb } from "./srgb.ts";
import type { Random } from "#shared/statistics/random.ts";

/** Sizes of what is drawn for a test; standard deviations unless said otherwise. */
export interface Condition {
  readonly name: string;
  /** Of one tablet step about its label, density. */
  readonly tabletStep: number;
  /** Of the tablet's scale in ultraviolet, share, and of its clear base, density. */
  readonly tabletScale: number;
  readonly tabletBase: number;
  /** Whether the request says how well the tablet is known. */
  readonly isTabletCalibrated: boolean;
  /** Coating from the middle of the strip to its end, and its bow, share of density. */
  readonly gradient: number;
  readonly bow: number;
  /** Whether the picture is a photo without reference patches: one of six camera curves, flare 0-2 %. */
  readonly isPhoto: boolean;
  /** Where given, gradient and bow are those of one of these, as common as it is. */
  readonly coatings?: readonly CoatingPrior[];
}

/** How uneven coatings may be, standard deviations as shares of density, and how common such ones are. */
export interface CoatingPrior {
  readonly gradient: number;
  readonly bow: number;
  readonly common: number;
}

/** Coatings as the program supposes them where it is told nothing. */
export const supposedCoatings: readonly CoatingPrior[] = coatingSizes.map(({ size, common }) => ({
  gradient: size * usualCoating.coatingGradient,
  bow: size * usualCoating.coatingBow,
  common,
}));

const benign: Condition = {
  name: "independent 0.015, tablet known",
  tabletStep: 0.015,
  tabletScale: 0,
  tabletBase: 0,
  isTabletCalibrated: true,
  gradient: 0,
  bow: 0,
  isPhoto: false,
};
const uncertainTablet = { tabletScale: 0.025, tabletBase: 0.02, isTabletCalibrated: false };

/** Everything moderate at once. */
export const moderate: Condition = {
  ...benign,
  ...uncertainTablet,
  gradient: 0.012,
  bow: 0.01,
  isPhoto: true,
  name: "all moderate together",
};

export const conditions: readonly Condition[] = [
  benign,
  { ...benign, ...uncertainTablet, name: "tablet scale 2.5 %, base 0.02" },
  { ...benign, tabletScale: 0.005, tabletBase: 0.005, name: "the same tablet, calibrated" },
  { ...benign, gradient: 0.012, bow: 0.01, name: "coating gradient 1.2 %, bow 1 %" },
  { ...benign, gradient: 0.025, bow: 0.02, name: "coating gradient 2.5 %, bow 2 %" },
  { ...benign, isPhoto: true, name: "photo without patches" },
  moderate,
  { ...benign, coatings: supposedCoatings, name: "coatings drawn as supposed" },
];

/** The condition of one print, its coating drawn where it is not given. */
export function drawnCondition(random: Random, condition: Condition): Condition {
  if (condition.coatings === undefined) return condition;
  let left = random.uniform() * condition.coatings.reduce((sum, { common }) => sum + common, 0);
  const drawn = condition.coatings.find(({ common }) => (left -= common) < 0) ?? condition.coatings[0]!;
  return { ...condition, gradient: drawn.gradient, bow: drawn.bow };
}

/** Errors of one test. */
export interface DrawnErrors {
  readonly scale: number;
  readonly base: number;
  readonly gradient: number;
  readonly bow: number;
  readonly camera: number | null;
  readonly flare: number;
}

export function drawErrors(random: Random, condition: Condition): DrawnErrors {
  return {
    scale: condition.tabletScale * random.normal(),
    base: condition.tabletBase * random.normal(),
    gradient: condition.gradient * random.normal(),
    bow: condition.bow * random.normal(),
    camera: condition.isPhoto ? Math.floor(random.uniform() * cameraCurves.length) : null,
    flare: condition.isPhoto ? 0.02 * random.uniform() : 0,
  };
}

/** Invented camera curves: what the file holds against what an exact sRGB file would hold, both 0-1. */
export const cameraCurves: readonly ((value: number) => number)[] = [
  (value) => value,
  (value) => value ** 0.93,
  (value) => value ** 1.07,
  // More contrast in the middle.
  (value) => value - (0.12 * Math.sin(2 * Math.PI * value)) / (2 * Math.PI),
  // Highlights rolled off.
  (value) => (1.25 * value) / (1 + 0.25 * value),
  // Deep tones pulled down.
  (value) => value - 0.35 * value * (1 - value) ** 6,
];

/** Level of unexposed paper in the picture, linear. */
const paperLevel = 0.75;

/**
 * Density above paper as read from a picture.
 * @param camera which curve, or null for an exact scan
 * @param flare stray light, share of the paper's
 */
export function readDensity({
  density,
  camera,
  flare,
}: {
  density: number;
  camera: number | null;
  flare: number;
}): number {
  const seen = (reflectance: number) => {
    const lit = (paperLevel * (reflectance + flare)) / (1 + flare);
    return camera === null ? lit : decodeSrgb(cameraCurves[camera]!(encodeSrgb(lit)));
  };
  return -Math.log10(seen(10 ** -density) / seen(1));
}

/** Place of a log exposure along the strip, -1 to 1, and the bow there with its mean taken out. */
export function coatingFactor(place: number, { gradient, bow }: Pick<DrawnErrors, "gradient" | "bow">): number {
  return 1 + gradient * place + bow * (place * place - 1 / 3);
}
