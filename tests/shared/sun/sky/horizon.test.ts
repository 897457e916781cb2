// What a horizon hides, against closed forms of radiation geometry and against the model without a horizon.
import { describe, expect, it } from "vitest";
import { earthSunFactor } from "#shared/sun/sky/atmosphere.ts";
import { horizonHeightDegrees, isSunHidden, lostSkyShare, visibleSkyShare } from "#shared/sun/sky/horizon.ts";
import { readyScene, strengthUnderSun, type SunScene } from "#shared/sun/sky/printing-strength.ts";

const round = (height: number): number[] => Array.from({ length: 12 }, () => height);

describe("visibleSkyShare", () => {
  it.each([0, 10, 30, 45, 60, 80])("of a level plane in a round of %d degrees is its cosine squared", (height) => {
    const plane = { tiltDegrees: 0, facingDegrees: 0 };
    expect(visibleSkyShare(plane, round(height))).toBeCloseTo(Math.cos((height * Math.PI) / 180) ** 2, 3);
    expect(lostSkyShare(round(height))).toBeCloseTo(1 - visibleSkyShare(plane, round(height)), 3);
  });

  it.each([0, 20, 45, 90])(
    "of a plane tilted by %d degrees under a free sky is half of one plus the cosine",
    (tilt) => {
      const share = visibleSkyShare({ tiltDegrees: tilt, facingDegrees: 130 }, round(0));
      expect(share).toBeCloseTo((1 + Math.cos((tilt * Math.PI) / 180)) / 2, 3);
    },
  );

  it("of an upright plane loses more by a wall before it than by one behind", () => {
    const plane = { tiltDegrees: 90, facingDegrees: 180 };
    const wall = (bearing: number): number[] =>
      Array.from({ length: 36 }, (_, i) => (Math.abs(i * 10 - bearing) <= 60 ? 40 : 0));
    expect(visibleSkyShare(plane, wall(180))).toBeLessThan(0.4);
    // Behind it, an upright plane sees nothing anyway.
    expect(visibleSkyShare(plane, [40, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0])).toBeCloseTo(0.5, 3);
  });
});

describe("the horizon's height", () => {
  it("runs straight between the bearings, and round past north", () => {
    const horizon = [10, 0, 0, 30];
    expect([0, 45, 90, 315, 360, -45].map((bearing) => horizonHeightDegrees(horizon, bearing))).toEqual([
      10, 5, 0, 20, 10, 20,
    ]);
  });

  it("hides the sun below it, and within the margin above", () => {
    const sun = { zenithDegrees: 72, azimuthDegrees: 0 };
    expect(isSunHidden([10, 0, 0, 0], sun)).toBe(false);
    expect(isSunHidden([10, 0, 0, 0], sun, 9)).toBe(true);
    expect(isSunHidden([20, 0, 0, 0], sun)).toBe(true);
  });
});

describe("printing strength with a horizon", () => {
  const scene: SunScene = {
    place: { latitude: 45, longitude: 0 },
    elevationM: 0,
    plane: { tiltDegrees: 0, facingDegrees: 0 },
    haze: 0.1,
    groundShare: 0.05,
    glass: false,
    light: "open-sun",
  };
  const sun = { zenithDegrees: 60, azimuthDegrees: 180 };
  const strength = (change: Partial<SunScene>): number =>
    strengthUnderSun(readyScene({ ...scene, ...change }), sun, earthSunFactor(100));

  it("a free one changes nothing", () => {
    expect(strength({ horizon: round(0) }) / strength({})).toBeCloseTo(1, 3);
  });

  it("with the sun behind it, leaves the part of the even sky that is seen, as in open shade", () => {
    const shade = strength({ light: "open-shade" });
    expect(strength({ horizon: round(45) }) / shade).toBeCloseTo(0.5, 2);
    expect(strength({ horizon: round(45), light: "open-shade" }) / shade).toBeCloseTo(0.5, 2);
  });

  it("with the sun above it, loses some of the sky alone", () => {
    const low = strength({ horizon: round(20) }) / strength({});
    expect(low).toBeGreaterThan(0.9);
    expect(low).toBeLessThan(0.98);
  });
});
