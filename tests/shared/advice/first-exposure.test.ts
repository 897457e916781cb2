import { describe, expect, it } from "vitest";
import { firstExposure, foundTimes, noonSun, usualTime } from "#shared/advice/first-exposure.ts";
import { seededRandom } from "#shared/statistics/random.ts";

const tablet21 = { clearDensity: 0.05, spanLogH: 3 };

describe("the first test under a light", () => {
  it("is the shortest length of a clock that comes out in four cases of five", () => {
    const usual = usualTime({ kind: "tubes" });
    const first = firstExposure(usual, tablet21);
    // Counted instead of reckoned: print times drawn from the guess, each looked up in what the test finds.
    const random = seededRandom(21);
    const drawn = 20_000;
    const share = (seconds: number): number => {
      const { lowerSeconds, upperSeconds } = foundTimes(seconds, tablet21);
      let inside = 0;
      for (let i = 0; i < drawn; i += 1) {
        const time = usual.seconds * 10 ** (usual.sigmaLogH * random.normal());
        if (time >= lowerSeconds && time <= upperSeconds) inside += 1;
      }
      return inside / drawn;
    };
    expect(share(first.seconds)).toBeCloseTo(first.chance, 2);
    expect(first.chance).toBeGreaterThanOrEqual(0.8);
    expect(share(first.seconds - 5 * 60)).toBeLessThan(0.8);
  });

  it("a strip with few steps finds fewer print times than a tablet exposed for as long", () => {
    const strip = foundTimes(960, { clearDensity: 0, spanLogH: Math.log10(128) });
    const tablet = foundTimes(960, tablet21);
    expect(strip.lowerSeconds).toBeGreaterThan(tablet.lowerSeconds);
    // A clear end of 0.05 takes a twentieth of a power of ten off both ends.
    expect(Math.log10(strip.upperSeconds / tablet.upperSeconds)).toBeCloseTo(0.05, 9);
  });

  it("under a small lamp twice as far away is four times as long (inverse square)", () => {
    const at = (distanceMm: number): number => usualTime({ kind: "point" }, { distanceMm }).seconds;
    expect(at(800) / at(400)).toBeCloseTo(4, 9);
  });

  it("where the shape of the light is not known, another distance widens the range", () => {
    const at = (distanceMm: number): number => usualTime({ kind: "other" }, { distanceMm }).sigmaLogH;
    expect(at(400)).toBeGreaterThan(at(150));
  });

  it("in half the sun is twice as long", () => {
    const summer = usualTime({ kind: "sun" });
    expect(usualTime({ kind: "sun" }, { strength: 0.5 }).seconds / summer.seconds).toBeCloseTo(2, 9);
  });
});

describe("the sun at noon", () => {
  const solstice = (month: number): number => Date.UTC(2026, month, 21);

  it("stands as high as latitude and the tilt of the earth's axis say (23.44°, 90 − latitude ± tilt)", () => {
    expect(noonSun("sun", 52, solstice(5)).heightDegrees).toBeCloseTo(90 - 52 + 23.44, 0);
    expect(noonSun("sun", 52, solstice(11)).heightDegrees).toBeCloseTo(90 - 52 - 23.44, 0);
    expect(noonSun("sun", -34, solstice(11)).heightDegrees).toBeCloseTo(90 - 34 + 23.44, 0);
  });

  it("prints less in winter than in summer, and not at all in the dark of the far north", () => {
    const [summer, winter] = [noonSun("sun", 52, solstice(5)), noonSun("sun", 52, solstice(11))];
    expect(winter.strength!).toBeLessThan(summer.strength! / 2);
    expect(noonSun("sun", 70, solstice(11)).strength).toBeNull();
  });
});
