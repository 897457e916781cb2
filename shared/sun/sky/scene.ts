import type { Ground, Sky } from "#shared/schema/sun/conditions.ts";
import type { SunScene } from "./printing-strength.ts";
import { groundShares, usualHaze } from "./surroundings.ts";

/** Place, frame and surroundings as a form or a request gives them. */
export interface SceneInput {
  readonly latitude: number;
  readonly longitude: number;
  readonly tiltDegrees: number;
  readonly facingDegrees: number;
  readonly elevationM?: number | undefined;
  readonly sky?: Sky | undefined;
  readonly ground?: Ground | undefined;
  readonly haze?: number | undefined;
  readonly glass?: boolean | undefined;
  readonly horizonDegrees?: readonly number[] | undefined;
}

/**
 * Scene with defaults filled in: sea level, grass, ordinary clear air, no glass. Only open shade hides the sun; clouds
 * are ranges.
 */
export function sceneFrom(input: SceneInput): SunScene {
  return {
    place: { latitude: input.latitude, longitude: input.longitude },
    elevationM: input.elevationM ?? 0,
    plane: { tiltDegrees: input.tiltDegrees, facingDegrees: input.facingDegrees },
    haze: input.haze ?? usualHaze,
    groundShare: groundShares[input.ground ?? "grass"],
    glass: input.glass ?? false,
    horizon: input.horizonDegrees?.some((height) => height > 0) ? input.horizonDegrees : undefined,
    light: input.sky === "open-shade" ? "open-shade" : "open-sun",
  };
}
