// What bends a whole strip at once: tablet, coating, camera. Each is fitted along with the curve as a number that is
// known beforehand to be about zero, so that its uncertainty is in every range and its share in the budget.
import { unknownCamera } from "#shared/reading/camera/camera-term.ts";
import type { RangeSource } from "#shared/schema/curve.ts";

/** One size of a coating's unevenness, as a multiple of what is usual, and how common it is among coatings. */
export interface CoatingSize {
  readonly size: number;
  readonly common: number;
}

/** How large the errors of a whole strip may be: standard deviations known beforehand. */
export interface SystematicErrors {
  /** All tablet densities in proportion, share. */
  readonly tabletScale: number;
  /** The clear film of the tablet, density. */
  readonly tabletBase: number;
  /** Coating from the middle of the strip to its ends, and its bow, share of density. */
  readonly coatingGradient: number;
  readonly coatingBow: number;
  /**
   * Whether these sizes are known of this studio's coatings; otherwise they are what is usual, and the strip is asked
   * how usual it is.
   */
  readonly isCoatingTold: boolean;
  /** What the coating was seen to change beside the strip; the sizes are then how well that is known. */
  readonly coatingShown?: { readonly gradient: number; readonly bow: number };
  /** Multiples of these sizes to be weighed against each other, where earlier sheets told of them. */
  readonly coatingSizes?: readonly CoatingSize[];
  /** True where a camera's unknown tone curve and stray light lie in the densities. */
  readonly isCameraUnchecked: boolean;
  /**
   * What is still unknown of it, where pictures of several exposures told more than is usual: its contrast [share], and
   * stray light as a share of the paper's, where as much was taken off as they told, too little or too much.
   */
  readonly cameraTold?: { readonly contrastSigma: number; readonly flareSigma?: number };
}

export const noSystematicErrors: SystematicErrors = {
  tabletScale: 0,
  tabletBase: 0,
  coatingGradient: 0,
  coatingBow: 0,
  isCoatingTold: false,
  isCameraUnchecked: false,
};

/**
 * What is usual of a coating brushed or poured by hand: in absence of anything known, between a careful one (about 1 %)
 * and one that shows (2.5 %). Source: common practice, no source.
 */
export const usualCoating = { coatingGradient: 0.012, coatingBow: 0.01 } as const;

/**
 * A camera whose tone curve has not been checked: contrast of the deep tones against the mean, as the reading takes it,
 * and stray light as a share of the paper's, even chance between 0 and 2 %. Source: common practice, no source.
 */
const camera = {
  contrastSigma: unknownCamera.gammaSigma,
  contrastDensity: 1.5,
  flareMean: 0.01,
  flareSigma: 0.0058,
  leastFlare: 0,
} as const;

/** Less light than this share of the paper's no print sends back. Source: common practice, no source. */
const leastLight = 1e-3;

/** A step as far as systematic errors care. */
interface PlacedStep {
  /** Density of the tablet above the step, or null where no tablet lay there. */
  readonly tabletDensity: number | null;
  /** Place along the strip, -1 at its first step to 1 at its last; null where there is no such place. */
  readonly place: number | null;
}

/** The errors as parameters of unit variance, and what they do to a step. */
export interface ErrorModel {
  readonly sources: readonly RangeSource[];
  /** How much less light than its label says a step received [log10]. */
  readonly lostLogH: (z: readonly number[], offset: number, step: PlacedStep) => number;
  /** Density as read of a density as a uniform coating would have printed it. */
  readonly readDensity: (z: readonly number[], offset: number, density: number, step: PlacedStep) => number;
}

/** The errors that can occur, each with its place among the parameters from `offset` on. */
export function errorModel(errors: SystematicErrors): ErrorModel {
  const sources: RangeSource[] = [];
  const add = (size: number, source: RangeSource) => (size > 0 ? sources.push(source) - 1 : -1);
  const scale = add(errors.tabletScale, "tablet-scale-and-base");
  const base = add(errors.tabletBase, "tablet-scale-and-base");
  const gradient = add(errors.coatingGradient, "coating-gradient");
  const bow = add(errors.coatingBow, "coating-gradient");
  const contrast = add(errors.isCameraUnchecked ? 1 : 0, "camera");
  const flare = add(errors.isCameraUnchecked ? 1 : 0, "camera");
  const unknowns = cameraUnknowns(errors);
  const value = (z: readonly number[], position: number) => (position < 0 ? 0 : z[position]!);
  const shown = errors.coatingShown ?? { gradient: 0, bow: 0 };
  return {
    sources,
    lostLogH: (z, offset, { tabletDensity }) =>
      tabletDensity === null
        ? 0
        : errors.tabletBase * value(z, base < 0 ? -1 : offset + base) +
          errors.tabletScale * tabletDensity * value(z, scale < 0 ? -1 : offset + scale),
    readDensity: (z, offset, density, { place }) => {
      const uneven =
        place === null
          ? 0
          : (shown.gradient + errors.coatingGradient * value(z, gradient < 0 ? -1 : offset + gradient)) * place +
            (shown.bow + errors.coatingBow * value(z, bow < 0 ? -1 : offset + bow)) * (place * place - 1 / 3);
      const printed = density * (1 + uneven);
      if (contrast < 0) return printed;
      return seenByCamera(printed, unknowns, { contrastZ: z[offset + contrast]!, flareZ: z[offset + flare]! });
    },
  };
}

/** Rounds in which an error's effect on a density is taken off; each makes what is left a hundred times smaller. */
const clearingRounds = 4;

/**
 * Steps as a tablet true to its label, an even coating and an exact camera would have given them, had the errors been
 * these.
 * @param z sizes of the errors, in the order of the model's sources
 * @returns the same steps, log exposure and density corrected
 */
export function clearedOfErrors<
  Step extends {
    readonly logH: number;
    readonly density: number;
    readonly tabletDensity?: number | null;
    readonly place?: number | null;
  },
>(steps: readonly Step[], model: ErrorModel, z: readonly number[]): Step[] {
  return steps.map((step) => {
    const placed = { tabletDensity: step.tabletDensity ?? null, place: step.place ?? null };
    let density = step.density;
    for (let round = 0; round < clearingRounds; round++)
      density += step.density - model.readDensity(z, 0, density, placed);
    return { ...step, logH: step.logH - model.lostLogH(z, 0, placed), density };
  });
}

/** Contrast as a share of density, stray light as a share of the paper's. */
interface CameraUnknowns {
  readonly contrastSigma: number;
  readonly flareMean: number;
  readonly flareSigma: number;
  readonly leastFlare: number;
}

/** Where the pictures themselves told of stray light, what is left of it lies about none, to either side. */
function cameraUnknowns({ cameraTold }: SystematicErrors): CameraUnknowns {
  const flareSigma = cameraTold?.flareSigma;
  return {
    ...camera,
    contrastSigma: Math.min(camera.contrastSigma, cameraTold?.contrastSigma ?? camera.contrastSigma),
    ...(flareSigma === undefined ? {} : { flareMean: 0, flareSigma, leastFlare: Number.NEGATIVE_INFINITY }),
  };
}

/** Density as an unchecked camera gives it: stray light adds to every reflectance alike. Source: from memory. */
function seenByCamera(
  density: number,
  { contrastSigma, flareMean, flareSigma, leastFlare }: CameraUnknowns,
  { contrastZ, flareZ }: { readonly contrastZ: number; readonly flareZ: number },
): number {
  const flare = Math.max(leastFlare, flareMean + flareSigma * flareZ);
  const veiled = density <= 0 ? density : -Math.log10(Math.max(leastLight, 10 ** -density + flare) / (1 + flare));
  return veiled * (1 + contrastSigma * contrastZ * (veiled / camera.contrastDensity - 1));
}
