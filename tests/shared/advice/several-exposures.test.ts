// What several exposures told of a camera, in the time: stray light that was taken off the densities counts no more.
import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import type { CameraTerm } from "#shared/schema/reading.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { logistic, syntheticReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";

const exposureSeconds = 4000;
const density = logistic({ net: 1.3, middle: 2.2, rate: 4.5 });
const random = seededRandom(3);
const reading = syntheticReading({ tablet: tablet21, exposureSeconds, density, noise: () => 0.005 * random.normal() });

const adviceWith = (camera: CameraTerm | undefined) =>
  assessTest({
    request: testRequest({ tablet: tablet21, exposureSeconds }),
    reading: {
      ...reading,
      ...(camera === undefined ? {} : { camera, warnings: [{ code: "tone-unchecked", message: "" }] }),
    },
    filmDensity: null,
  }).exposure;

const solved: CameraTerm = { toneKnown: false, by: "pictures", gammaSigma: 0.01, flareShare: 0, flareSigma: 0.001 };
const plain = adviceWith(undefined);
const stopsLonger = (camera: CameraTerm) => Math.log2(adviceWith(camera).seconds! / plain.seconds!);

describe("the time by several photos at different exposures", () => {
  it("when they told the stray light and it was taken off, does not allow for it once more", () => {
    expect(Math.abs(stopsLonger(solved))).toBeLessThan(0.02);
  });

  it("when the print told nothing of stray light, allows for what is usual, which makes the time longer", () => {
    expect(stopsLonger({ ...solved, flareShare: 0.01, flareSigma: 0.01 })).toBeGreaterThan(0.05);
  });

  it("when they leave more of the stray light open, has a wider range about the same time", () => {
    const open = { ...solved, flareSigma: 0.01 };
    expect(Math.abs(stopsLonger(open))).toBeLessThan(0.05);
    const width = (camera: CameraTerm) => {
      const { lowerSeconds, upperSeconds } = adviceWith(camera);
      return Math.log2(upperSeconds! / lowerSeconds!);
    };
    expect(width(open)).toBeGreaterThan(1.1 * width(solved));
  });
});
