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

/**
 * How the numbers of a picture are to be read.
 * @param icc the embedded profile, if any
 * @param channels 1 for grey pictures, 3 for colour
 */
export function colourMeaning(icc: Uint8Array | undefined, channels: 1 | 3): ColourMeaning {
  const assumed = (profile: ProfileFact, warning: ProfileWarning): ColourMeaning => ({
    curves: Array.from({ length: channels }, () => linearFromSrgb),
    matrix: null,
    profile,
    warnings: [warning],
  });
  if (icc === undefined) {
    return assumed({ code: "untagged" }, { code: "profile-missing" });
  }
  const profile = parseIccProfile(icc);
  if (profile === null) {
    return assumed({ code: "damaged" }, { code: "profile-unreadable" });
  }
  if (channels === 3 && profile.tableColour !== null) {
    return {
      curves: [],
      matrix: null,
      tableColour: profile.tableColour,
      profile: { code: "embedded", name: shownName(profile.name) },
      warnings: [],
    };
  }
  const fits =
    profile.curves.length === channels ||
    (channels === 3 && profile.curves.length === 1) ||
    (channels === 1 && profile.curves.length === 3);
  if (!fits || (channels === 3 && profile.colourSpace === "RGB" && profile.colorants === null)) {
    return assumed({ code: "other-form" }, { code: "profile-tables", name: profile.name });
  }
  const curves =
    profile.curves.length === channels
      ? profile.curves
      : Array.from({ length: channels }, () => profile.curves[channels === 1 ? 1 : 0] ?? profile.curves[0]!);
  if (channels === 1 || profile.colorants === null)
    return { curves, matrix: null, profile: { code: "embedded", name: shownName(profile.name) }, warnings: [] };
  const matrix = linearSrgbFromColorants(profile.colorants);
  const samePrimaries = matrix.every((value, i) => Math.abs(value - identity[i]!) < sameSpaceTolerance);
  const sameCurve = [0.02, 0.1, 0.3, 0.5, 0.7, 0.9].every((x) =>
    curves.every((curve) => Math.abs(curve(x) - linearFromSrgb(x)) < 0.001),
  );
  return {
    curves,
    matrix: samePrimaries ? null : matrix,
    profile: { code: samePrimaries && sameCurve ? "srgb" : "embedded", name: shownName(profile.name) },
    warnings: [],
  };
}

/** The sRGB tone curve over given primaries. @param name plain name of the space */
export function srgbCurveMeaning(name: string, colorants: Matrix3): ColourMeaning {
  const matrix = linearSrgbFromColorants(colorants);
  const isSrgb = matrix.every((value, i) => Math.abs(value - identity[i]!) < sameSpaceTolerance);
  return {
    curves: [linearFromSrgb, linearFromSrgb, linearFromSrgb],
    matrix: isSrgb ? null : matrix,
    profile: isSrgb ? { code: "srgb", name: "" } : { code: "embedded", name },
    warnings: [],
  };
}
