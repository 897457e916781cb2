// Decides how a picture's numbers become linear light in sRGB primaries, and says so.
import type { Matrix3 } from "#shared/density/matrix.ts";
import { linearSrgbFromColorants } from "#shared/density/rgb-spaces.ts";
import { linearFromSrgb } from "#shared/density/srgb.ts";
import type { ProfileFact, ProfileWarning } from "#shared/reading/reading-facts.ts";
import type { ToneCurve } from "./icc-curves.ts";
import { parseIccProfile } from "./icc-profile.ts";
import type { TableColour } from "./icc-tables.ts";

export interface ColourMeaning {
  /** One tone curve for each channel of the picture. */
  readonly curves: readonly ToneCurve[];
  /** Linear RGB of the picture's space to linear sRGB; null when they are the same, or the picture is grey. */
  readonly matrix: Matrix3 | null;
  /** Colours that the profile's tables give, which then count instead of curves and matrix. */
  readonly tableColour?: TableColour;
  /** Tone curve and primaries. */
  readonly profile: ProfileFact;
  readonly warnings: readonly ProfileWarning[];
}

/** Profiles rounded to 16 bits differ from exact sRGB by less than this in every matrix element. */
const sameSpaceTolerance = 0.004;
const identity: Matrix3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** A profile's own name as it can be shown; it may be empty. */
const shownName = (name: string): string => name.replace(/[^\x20-\x7e]/gu, "").slice(0, 60);

/** sRGB, for want of a profile that says otherwise. */
const assumedSrgb = (channels: 1 | 3, profile: ProfileFact, warning: ProfileWarning): ColourMeaning => ({
  curves: Array.from({ length: channels }, () => linearFromSrgb),
  matrix: null,
  profile,
  warnings: [warning],
});

/**
 * How the numbers of a picture are to be read.
 * @param icc the embedded profile, if any
 * @param channels 1 for grey pictures, 3 for colour
 */
export function colourMeaning(icc: Uint8Array | undefined, channels: 1 | 3): ColourMeaning {
  if (icc === undefined) return assumedSrgb(channels, { code: "untagged" }, { code: "profile-missing" });
  const profile = parseIccProfile(icc);
  if (profile === null) return assumedSrgb(channels, { code: "damaged" }, { code: "profile-unreadable" });
  const embedded: ProfileFact = { code: "embedded", name: shownName(profile.name) };
  if (channels === 3 && profile.tableColour !== null)
    return { curves: [], matrix: null, tableColour: profile.tableColour, profile: embedded, warnings: [] };
  const curves = curvesForChannels(profile.curves, channels);
  if (curves === null || (channels === 3 && profile.colourSpace === "RGB" && profile.colorants === null))
    return assumedSrgb(channels, { code: "other-form" }, { code: "profile-tables", name: profile.name });
  if (channels === 1 || profile.colorants === null) return { curves, matrix: null, profile: embedded, warnings: [] };
  const matrix = linearSrgbFromColorants(profile.colorants);
  const samePrimaries = isIdentity(matrix);
  const sameCurve = [0.02, 0.1, 0.3, 0.5, 0.7, 0.9].every((x) =>
    curves.every((curve) => Math.abs(curve(x) - linearFromSrgb(x)) < 0.001),
  );
  return {
    curves,
    matrix: samePrimaries ? null : matrix,
    profile: samePrimaries && sameCurve ? { ...embedded, code: "srgb" } : embedded,
    warnings: [],
  };
}

/**
 * One curve for each channel: the profile's own; a grey one for all three colours; for a grey picture in a colour
 * profile the green one. Null when the profile has none or another number.
 */
function curvesForChannels(curves: readonly ToneCurve[], channels: 1 | 3): readonly ToneCurve[] | null {
  if (curves.length === channels) return curves;
  if (channels === 3 && curves.length === 1) return [curves[0]!, curves[0]!, curves[0]!];
  return channels === 1 && curves.length === 3 ? [curves[1]!] : null;
}

const isIdentity = (matrix: Matrix3): boolean =>
  matrix.every((value, i) => Math.abs(value - identity[i]!) < sameSpaceTolerance);

/** The sRGB tone curve over given primaries. @param name plain name of the space */
export function srgbCurveMeaning(name: string, colorants: Matrix3): ColourMeaning {
  const matrix = linearSrgbFromColorants(colorants);
  const isSrgb = isIdentity(matrix);
  return {
    curves: [linearFromSrgb, linearFromSrgb, linearFromSrgb],
    matrix: isSrgb ? null : matrix,
    profile: isSrgb ? { code: "srgb", name: "" } : { code: "embedded", name },
    warnings: [],
  };
}
