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

  it("when the tests of one of the two contradict each other, says so, once", async () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    const cloth = store.supports.create({ name: "Cotton", notes: "", kind: "fabric", archived: false }).id;
    const paper = saveTablet(store, materials, await savePicture(store, "one"));
    const first = saveTablet(store, { ...materials, supportId: cloth }, await savePicture(store, "two"));
    const pairOf = (...testIds: string[]) => compareSavedTests({ store }, { testIds }).pairs[0]!;
    expect(pairOf(paper, first).warnings.map(({ code }) => code)).not.toContain("tests-disagree");
    const second = saveTablet(store, { ...materials, supportId: cloth }, await savePicture(store, "three"), {
      shift: 0.55,
    });
    const disputes = (...ids: string[]) => pairOf(...ids).warnings.filter(({ code }) => code === "tests-disagree");
    expect(disputes(paper, first)).toHaveLength(1);
    expect(disputes(paper, first)[0]?.message).toContain("on Cotton contradict each other");
    expect(disputes(first, second)).toHaveLength(1);
  });

  it("by all tests of both, tells both times, in the ratio that it tells", async () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    const cloth = store.supports.create({ name: "Cotton", notes: "", kind: "fabric", archived: false }).id;
    const paper = saveTablet(store, materials, await savePicture(store, "one"));
    saveTablet(store, materials, await savePicture(store, "two"), { shift: 0.01 });
    const cotton = saveTablet(store, { ...materials, supportId: cloth }, await savePicture(store, "three"), {
      shift: 0.3,
    });
    const { pooled } = compareSavedTests({ store }, { testIds: [paper, cotton] }).pairs[0]!;
    expect(pooled!.secondSeconds / pooled!.firstSeconds).toBeCloseTo(pooled!.timeRatio.value, 9);
    expect(pooled!.sentence).toMatch(/times the time of .*, \d+:\d\d against \d+:\d\d\.$/);
  });

  it("when a test is not there, names it and the field", () => {
    const { store } = testApp();
    expect(() => compareSavedTests({ store }, { testIds: ["nope", "neither"] })).toThrow(
      expect.objectContaining({ code: "bad-request", field: "testIds", detail: expect.stringContaining('"nope"') }),
    );
  });
});
