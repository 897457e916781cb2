// Saved tests side by side, with what a camera may have done to their deepest step.
import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import type { ReadingStep } from "#shared/schema/reading.ts";
import { compareSavedTests } from "#src/studio/compare-saved-tests.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../support/studios/sample-records.ts";
import { logistic, syntheticReading, tablet21, testRequest } from "../support/studios/synthetic-test.ts";
import { testApp } from "../support/test-app.ts";

const exposureSeconds = 3000;
const density = logistic({ net: 1.5, middle: 2.2, rate: 4.5 });
const { curve } = assessTest({
  request: testRequest({ tablet: tablet21, exposureSeconds }),
  reading: syntheticReading({ tablet: tablet21, exposureSeconds, density, noise: () => 0 }),
  filmDensity: null,
});

/** Width of the range of the difference in D-max between two tests whose steps were changed so. */
async function widthWith(channel: "red" | "visual", change: (step: ReadingStep, i: number) => Partial<ReadingStep>) {
  const { store } = testApp();
  const materials = saveSampleMaterials(store);
  const pictureId = await savePicture(store);
  const record = { ...sampleTestRecord(materials, pictureId, { channel }), curve };
  const reading = {
    ...record.reading,
    steps: record.reading.steps.map((step, i) => ({ ...step, ...change(step, i) })),
  };
  const testIds = [0, 1].map(() => store.transaction(() => store.tests.save({ ...record, reading })).id);
  const { lower, upper } = compareSavedTests({ store }, { testIds }).pairs[0]!.dMaxDifference!;
  return upper - lower;
}

const deepestFirst = (_step: ReadingStep, i: number) => ({ red: 1.5 - 0.2 * i, visual: 0.6 - 0.08 * i });

describe("saved tests compared", () => {
  it("when a camera may have moved the deepest step, are less sure of it, visual density in proportion", async () => {
    const known = await widthWith("red", deepestFirst);
    const byCamera = (step: ReadingStep, i: number) => ({ ...deepestFirst(step, i), cameraSigma: 0.2 });
    const red = await widthWith("red", byCamera);
    const visual = await widthWith("visual", byCamera);
    expect(red).toBeGreaterThan(known + 0.5);
    expect(visual).toBeGreaterThan(known);
    expect(visual).toBeLessThan(known + 0.5 * (red - known));
  });

  it("when the deepest of all was left out, go by the deepest that counts", async () => {
    const blot = (step: ReadingStep, i: number) =>
      i === 0
        ? { ...deepestFirst(step, i), red: 3, cameraSigma: 0.5, flags: ["left-out"] }
        : { ...deepestFirst(step, i), cameraSigma: 0 };
    expect(await widthWith("red", blot)).toBeCloseTo(await widthWith("red", deepestFirst), 9);
  });
});
