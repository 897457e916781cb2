// A courtyard's walls against the plan of the same hour under a free sky.
import { describe, expect, it } from "vitest";
import { exposurePlan, type PlanRequest } from "#shared/sun/exposure-plan.ts";

const hour = 3_600_000;
const midnight = Date.UTC(2026, 5, 21);
const request = (startHour: number, horizon?: readonly number[]): PlanRequest => ({
  scene: {
    place: { latitude: 45, longitude: 0 },
    elevationM: 0,
    plane: { tiltDegrees: 0, facingDegrees: 0 },
    haze: 0.1,
    groundShare: 0.05,
    glass: false,
    light: "open-sun",
    horizon,
  },
  sky: "clear",
  startMs: midnight + startHour * hour,
  day: { fromMs: midnight, untilMs: midnight + 24 * hour },
  scaledBy: { dose: 20_000 },
});
/** A wall in the west, 40° high. */
const westWall = [0, 0, 0, 0, 0, 0, 0, 20, 40, 40, 40, 20];

describe("a plan with a horizon", () => {
  const free = exposurePlan(request(11));

  it("takes longer at noon by no more than the sky that is hidden", () => {
    const walled = exposurePlan(request(11, westWall));
    expect(free.verdict).toBe("ok");
    expect(walled.verdict).toBe("ok");
    expect(walled.seconds! / free.seconds!).toBeGreaterThan(1.01);
    expect(walled.seconds! / free.seconds!).toBeLessThan(1.25);
  });

  it("gives no time once the sun stands behind the wall, though it is high", () => {
    const walled = exposurePlan(request(16.5, westWall));
    expect(exposurePlan(request(16.5)).verdict).toBe("ok");
    expect(walled.heightDegrees).toBeGreaterThan(20);
    expect(walled).toMatchObject({ verdict: "sun-too-low", seconds: null });
    expect(walled.notes).toContain("behind-horizon");
  });

  it("says so when the sun goes behind the wall before the print has had its light", () => {
    const long = { ...request(14.5, westWall), scaledBy: { dose: 250_000 } };
    expect(exposurePlan({ ...long, scene: { ...long.scene, horizon: undefined } }).verdict).toBe("ok");
    const walled = exposurePlan(long);
    expect(walled).toMatchObject({ verdict: "not-before-sunset", seconds: null });
    expect(walled.notes).toContain("horizon-before-end");
  });
});
