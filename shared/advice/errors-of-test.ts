// What may bend the whole strip of a test: what is usual, what the request says, and what the sheet itself shows.
import { coatingBeside, type CoatingShown } from "#shared/curve/coating-beside.ts";
import { sizesGivenSlopes } from "#shared/curve/coating-sizes.ts";
import type { CurveStep } from "#shared/curve/curve-step.ts";
import { stepScatter } from "#shared/curve/falling-shoulder.ts";
import type { CoatingSlope } from "#shared/curve/head-to-tail.ts";
import { usualCoating, type SystematicErrors } from "#shared/curve/systematic-errors.ts";
import type { Reading } from "#shared/schema/reading.ts";
import type { TestRequest } from "#shared/schema/test.ts";
import { wholeTabletSigmas } from "#shared/tablet/tolerance.ts";
import { shoulderEvidence } from "./shoulder-evidence.ts";

export type CoatingEvenness = Pick<SystematicErrors, "coatingGradient" | "coatingBow">;

/**
 * A coating that shows, so many times as uneven as is usual: what is known of any before the coating beside the strip
 * is seen. Common practice, no source.
 */
const badCoating = 2.5;
/** A climb seen over less log exposure than this tells no steeper one. Common practice, no source. */
const shortestClimbLogH = 0.05;

/** How even the coating is where the request says it; a gradient alone brings a bow of the usual proportion. */
export function toldEvenness({ coatingGradientShare, coatingBowShare }: TestRequest): CoatingEvenness | undefined {
  const told = coatingGradientShare ?? coatingBowShare;
  if (told === null || told === undefined) return undefined;
  const bowPerGradient = usualCoating.coatingBow / usualCoating.coatingGradient;
  return {
    coatingGradient: coatingGradientShare ?? told / bowPerGradient,
    coatingBow: coatingBowShare ?? told * bowPerGradient,
  };
}

interface SheetKnown {
  readonly request: Pick<TestRequest, "tablet" | "channel">;
  readonly reading: Pick<Reading, "camera" | "coatingBeside"> & {
    readonly warnings?: readonly { readonly code: string }[];
  };
  /** Usable steps, rising logH. */
  readonly usable: readonly CurveStep[];
  /** How even the studio's coatings are, where that is known. */
  readonly coatingEvenness: CoatingEvenness | undefined;
  /** Slopes of this sheet, where its two strips showed one, and of earlier ones. */
  readonly slopes: readonly CoatingSlope[];
  /** Whether two strips head to tail are read together. */
  readonly isPaired: boolean;
}

/**
 * What may bend the whole strip of a test, with the sizes known beforehand.
 * @param shown how the coating beside the strip changes along it, where it was seen
 */
export function errorsOfTest(
  { request, reading, coatingEvenness, slopes, isPaired }: SheetKnown,
  shown: CoatingShown | null,
): SystematicErrors {
  const { scaleSigmaShare, baseSigmaDensity } = wholeTabletSigmas(request.tablet);
  const others = {
    tabletScale: scaleSigmaShare,
    tabletBase: baseSigmaDensity,
    isCameraUnchecked: (reading.warnings ?? []).some(({ code }) => code === "tone-unchecked"),
    ...cameraTold(reading.camera),
  };
  if (shown !== null)
    return {
      ...others,
      coatingGradient: shown.gradientSigma,
      coatingBow: shown.bowSigma,
      coatingShown: { gradient: shown.gradient, bow: shown.bow },
      isCoatingTold: true,
    };
  return {
    ...others,
    ...(coatingEvenness ?? usualCoating),
    // Two strips head to tail cancel a straight change; its bow stays, and how large it may be the slope tells too.
    ...(isPaired ? { coatingGradient: 0 } : {}),
    isCoatingTold: coatingEvenness !== undefined,
    ...(slopes.length === 0 ? {} : { coatingSizes: sizesGivenSlopes(slopes, usualCoating.coatingGradient) }),
  };
}

/** What several exposures left unknown of the camera; stray light only where it was taken off as they told it. */
function cameraTold(camera: SheetKnown["reading"]["camera"]): Pick<SystematicErrors, "cameraTold"> {
  if (camera?.by !== "pictures") return {};
  const { gammaSigma: contrastSigma, flareShare, flareSigma } = camera;
  return { cameraTold: { contrastSigma, ...(flareShare > 0 ? {} : { flareSigma }) } };
}

/**
 * How the coating beside the strip changes along it, where the picture shows any. Two strips head to tail need it not.
 */
export function coatingShown({ request, reading, usable, coatingEvenness, isPaired }: SheetKnown): CoatingShown | null {
  const patches = reading.coatingBeside ?? [];
  if (isPaired || patches.length === 0) return null;
  const darkest = Math.max(...usable.map(({ density }) => density));
  const { climb, stretchLogH } = shoulderEvidence(usable, stepScatter(usable));
  return coatingBeside(patches, {
    channel: request.channel,
    darkest,
    stillClimbing: climb / Math.max(stretchLogH, shortestClimbLogH) / darkest,
    sizes: coatingEvenness ?? {
      coatingGradient: badCoating * usualCoating.coatingGradient,
      coatingBow: badCoating * usualCoating.coatingBow,
    },
  });
}
