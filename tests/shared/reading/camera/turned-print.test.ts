import { describe, expect, it } from "vitest";
import { averageReadings } from "#shared/reading/camera/average-readings.ts";
import { lightToldByTurning } from "#shared/reading/camera/turned-print.ts";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { seededRandom, type Random } from "#shared/statistics/random.ts";

const steps = 21;
const noise = 0.003;
const truth = Array.from({ length: steps }, (_, i) => 1.4 / (1 + Math.exp((i - 9) / 2)));
const straight: Corners = [
  [100, 100],
  [700, 110],
  [700, 210],
  [100, 200],
];
const turned: Corners = [straight[2], straight[3], straight[0], straight[1]];

/** Invented light that paper did not show: the density it adds at a share of the way from left to right. */
const light = (fromLeft: number): number => 0.05 * (fromLeft - 0.5) + 0.012 * (fromLeft - 0.5) ** 3;

function photographed(corners: Corners, lightAt: (fromLeft: number) => number, random: Random): MeasuredReading {
  const isTurned = corners === turned;
  return {
    image: { width: 800, height: 300, bitsPerChannel: 8, profile: { code: "srgb", name: "" } },
    location: { method: "given", corners, confidence: 1 },
    steps: truth.map((density, i) => {
      const fromFirst = (i + 0.5) / steps;
      const red = density + lightAt(isTurned ? 1 - fromFirst : fromFirst) + noise * random.normal();
      return {
        index: i + 1,
        input: i,
        red,
        visual: red / 2,
        lightness: 50,
        sigma: noise,
        sigmaVisual: noise / 2,
        commonSigma: 0,
        centre: [0, 0],
        box: corners,
        flags: [],
      };
    }),
    warnings: [],
  };
}

const worst = (reading: MeasuredReading): number =>
  Math.max(...reading.steps.map((step, i) => Math.abs(step.red - truth[i]!)));

describe("a print photographed again after half a turn", () => {
  it("tells light that paper did not show from the print, however many pictures there are of each kind", () => {
    for (const places of [
      [straight, turned],
      [straight, straight, turned],
      [turned, straight, turned],
    ]) {
      const random = seededRandom(places.length);
      const readings = places.map((corners) => photographed(corners, light, random));
      expect(worst(readings[0]!)).toBeGreaterThan(0.02);
      const mean = averageReadings(readings);
      expect(worst(mean)).toBeLessThan(4 * noise);
      const told = mean.warnings.find(({ code }) => code === "light-told-by-turning");
      // 0.053 of density from end to end is 0.176 stop: a stop is log10 2 = 0.30103.
      expect(told).toMatchObject({ stops: expect.closeTo(0.053 / 0.30103, 1) });
    }
  });

  it("is as sure as pictures that agree are, once the light is off", () => {
    const random = seededRandom(9);
    let [squares, n] = [0, 0];
    for (let run = 0; run < 60; run++) {
      const mean = averageReadings([photographed(straight, light, random), photographed(turned, light, random)]);
      for (const [i, step] of mean.steps.entries()) {
        squares += ((step.red - truth[i]!) / step.sigma) ** 2;
        n++;
      }
      expect(mean.steps[3]!.sigma).toBeLessThan(noise);
    }
    expect(Math.sqrt(squares / n)).toBeGreaterThan(0.8);
    expect(Math.sqrt(squares / n)).toBeLessThan(1.2);
  });

  it("when nothing but noise differs, takes nothing off", () => {
    const random = seededRandom(4);
    const readings = [straight, turned].map((corners) => photographed(corners, () => 0, random));
    expect(lightToldByTurning(readings)).toBeNull();
  });

  it("when the print was not turned, says nothing of its light", () => {
    const random = seededRandom(5);
    const readings = [light, () => 0].map((lightAt) => photographed(straight, lightAt, random));
    expect(lightToldByTurning(readings)).toBeNull();
  });

  it("when the light is the same at both ends and darker between, leaves it: turning cannot tell it", () => {
    const random = seededRandom(6);
    const rim = (fromLeft: number): number => 0.08 * (fromLeft - 0.5) ** 2;
    expect(lightToldByTurning([straight, turned].map((corners) => photographed(corners, rim, random)))).toBeNull();
  });
});

describe("two prints, one of them turned half round", () => {
  /** A print of the same tablet that was exposed longer by so many steps. */
  const longer = (reading: MeasuredReading, bySteps: number): MeasuredReading => ({
    ...reading,
    steps: reading.steps.map((step, i) => {
      const red = step.red - truth[i]! + 1.4 / (1 + Math.exp((i - bySteps - 9) / 2));
      return { ...step, red, visual: red / 2 };
    }),
  });

  it.each([0.7, 2])(
    "exposed differently by %f steps, are not taken for one in two lights, nor for a surer one",
    (by) => {
      for (let seed = 0; seed < 20; seed++) {
        const random = seededRandom(seed);
        const one = photographed(straight, light, random);
        const other = longer(photographed(turned, light, random), by);
        const mean = averageReadings([one, other]);
        expect(mean.warnings.map(({ code }) => code)).toEqual(["turned-pictures-differ"]);
        mean.steps.forEach((step, i) => {
          expect(step.sigma).toBeGreaterThanOrEqual(one.steps[i]!.sigma);
          // The truth may be either of them.
          expect(step.sigma).toBeGreaterThanOrEqual(Math.abs(one.steps[i]!.red - other.steps[i]!.red) / 2 - 1e-9);
        });
      }
    },
  );

  it("when a camera of unknown tone saw one print a little steeper, are one print all the same", () => {
    const camera = { toneKnown: false, by: "assumption", gammaSigma: 0, flareShare: 0, flareSigma: 0 } as const;
    for (let seed = 0; seed < 20; seed++) {
      const random = seededRandom(100 + seed);
      const one = { ...photographed(straight, light, random), camera };
      const seen = photographed(turned, light, random);
      const steeper = { ...seen, camera, steps: seen.steps.map((step) => ({ ...step, red: 1.04 * step.red })) };
      expect(averageReadings([one, steeper]).warnings.map(({ code }) => code)).toContain("light-told-by-turning");
    }
  });
});
