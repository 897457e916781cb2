// Two saved tests side by side, of one made-up coating under lights that are known to differ.
import { describe, expect, it } from "vitest";
import { compareSavedTests } from "#src/studio/compare-saved-tests.ts";
import { savePicture, saveSampleMaterials } from "../support/studios/sample-records.ts";
import { saveTablet } from "../support/studios/saved-tablets.ts";
import { testApp } from "../support/test-app.ts";

describe("compareSavedTests", () => {
  it("when one light needs twice the seconds, finds that ratio inside its range", async () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    const once = saveTablet(store, materials, await savePicture(store, "one"));
    const twice = saveTablet(store, materials, await savePicture(store, "two"), { shift: Math.log10(2) });
    const { tests, pairs } = compareSavedTests({ store }, { testIds: [once, twice] });
    expect(tests.map(({ id }) => id)).toEqual([once, twice]);
    const ratio = pairs[0]?.timeRatio;
    expect(Math.abs((ratio?.value ?? 0) - 2)).toBeLessThan(0.04);
    expect(ratio?.lower).toBeLessThan(2);
    expect(ratio?.upper).toBeGreaterThan(2);
  });

  it("when a test is not there, names it and the field", () => {
    const { store } = testApp();
    expect(() => compareSavedTests({ store }, { testIds: ["nope", "neither"] })).toThrow(
      expect.objectContaining({ code: "bad-request", field: "testIds", detail: expect.stringContaining('"nope"') }),
    );
  });
});
