import { dayOfYear, earthSunFactor } from "#shared/sun/sky/atmosphere.ts";
import { readyScene, strengthUnderSun, sunInScene, type SunScene } from "#shared/sun/sky/printing-strength.ts";
import type { Plane } from "#shared/sun/sky/tilted-plane.ts";

/** How to stand the frame. */
export interface TiltAdvice extends Plane {
  /** Strength on the frame so turned over the strength as it stands now. */
  readonly gain: number;
}

const tiltStepDegrees = 5;
const steepestDegrees = 85;

/**
 * Tilt that catches most light at an instant, facing the sun's azimuth, in steps of 5°.
 * @returns null when the sun is down or the frame stands in open shade, where only the whole sky counts
 */
export function bestTilt(scene: SunScene, atMs: number): TiltAdvice | null {
  if (scene.light === "open-shade") return null;
  const sun = sunInScene(readyScene(scene), atMs);
  if (sun.zenithDegrees >= 90) return null;
  const factor = earthSunFactor(dayOfYear(atMs));
  const strengthOn = (plane: Plane): number => strengthUnderSun(readyScene({ ...scene, plane }), sun, factor);
  let best: Plane = { tiltDegrees: 0, facingDegrees: Math.round(sun.azimuthDegrees) % 360 };
  for (let tiltDegrees = tiltStepDegrees; tiltDegrees <= steepestDegrees; tiltDegrees += tiltStepDegrees) {
    const plane = { ...best, tiltDegrees };
    if (strengthOn(plane) > strengthOn(best)) best = plane;
  }
  return { ...best, gain: strengthOn(best) / strengthOn(scene.plane) };
}
