// Decides how a picture's numbers become linear light in sRGB primaries, and says so.
import type { Matrix3 } from "#shared/density/matrix.ts";
import { linearSrgbFromColorants } from "#shared/density/rgb-spaces.ts";
import { linearFromSrgb } from "#shared/density/srgb.ts";
import type { Warning } from "#shared/schema/reading.ts";
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
  /** Plain name of tone curve and primaries. */
  readonly profile: string;
  readonly warnings: readonly Warning[];
}

/** Profiles rounded to 16 bits differ from exact sRGB by less than this in every matrix element. */
const sameSpaceTolerance = 0.004;
const identity: Matrix3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** Names the primaries and curve of a matrix profile whose own name may be empty or long. */
function plainName(name: string, isSrgb: boolean): string {
  const own = name.replace(/[^\x20-\x7e]/gu, "").slice(0, 60);
  if (isSrgb) return own === "" || /^srgb/iu.test(own) ? "sRGB" : `sRGB ("${own}")`;
  return own === "" ? "embedded profile without a name" : own;
}

/**
 * How the numbers of a picture are to be read.
 * @param icc the embedded profile, if any
 * @param channels 1 for grey pictures, 3 for colour
 */
export function colourMeaning(icc: Uint8Array | undefined, channels: 1 | 3): ColourMeaning {
  const assumed = (profile: string, warning: Warning): ColourMeaning => ({
    curves: Array.from({ length: channels }, () => linearFromSrgb),
    matrix: null,
    profile,
    warnings: [warning],
  });
  if (icc === undefined) {
    return assumed("sRGB (assumed, untagged)", {
      code: "profile-missing",
      message:
        "The picture does not say which colour space it is in, so sRGB was assumed. If it is in another, densities are off by up to a quarter of each (1.0 may be read as 0.8 or 1.25). Let the camera or scanner program embed its colour profile, or save as sRGB.",
    });
  }
  const profile = parseIccProfile(icc);
  if (profile === null) {
    return assumed("sRGB (assumed, embedded profile damaged)", {
      code: "profile-unreadable",
      message:
        "The picture's colour profile is damaged, so sRGB was assumed: densities may be off. Save the picture again with an sRGB profile.",
    });
  }
  if (channels === 3 && profile.tableColour !== null) {
    return {
      curves: [],
      matrix: null,
      tableColour: profile.tableColour,
      profile: plainName(profile.name, false),
      warnings: [],
    };
  }
  const fits =
    profile.curves.length === channels ||
    (channels === 3 && profile.curves.length === 1) ||
    (channels === 1 && profile.curves.length === 3);
  if (!fits || (channels === 3 && profile.colourSpace === "RGB" && profile.colorants === null)) {
    return assumed("sRGB (assumed, embedded profile of another form)", {
      code: "profile-tables",
      message: `The picture's colour profile${profile.name === "" ? "" : ` ("${profile.name}")`} is of a form that is not read here, so sRGB was assumed: densities may be off by up to a quarter of each. Convert the picture to sRGB in your image program and send it again.`,
    });
  }
  const curves =
    profile.curves.length === channels
      ? profile.curves
      : Array.from({ length: channels }, () => profile.curves[channels === 1 ? 1 : 0] ?? profile.curves[0]!);
  if (channels === 1 || profile.colorants === null)
    return { curves, matrix: null, profile: plainName(profile.name, false), warnings: [] };
  const matrix = linearSrgbFromColorants(profile.colorants);
  const samePrimaries = matrix.every((value, i) => Math.abs(value - identity[i]!) < sameSpaceTolerance);
  const sameCurve = [0.02, 0.1, 0.3, 0.5, 0.7, 0.9].every((x) =>
    curves.every((curve) => Math.abs(curve(x) - linearFromSrgb(x)) < 0.001),
  );
  return {
    curves,
    matrix: samePrimaries ? null : matrix,
    profile: plainName(profile.name, samePrimaries && sameCurve),
    warnings: [],
  };
}
