// A box and everything that was found out about it, from records in a real store.
import { describe, expect, it } from "vitest";
import { baseTimeOf, boxRecord } from "#src/studio/lamps/box-record.ts";
import { savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { saveTablet } from "../../support/studios/saved-tablets.ts";
import { testApp } from "../../support/test-app.ts";

async function box() {
  const { store } = testApp();
  const materials = saveSampleMaterials(store);
  const save = async (content: string, options: Parameters<typeof saveTablet>[3] = {}): Promise<string> =>
    saveTablet(store, materials, await savePicture(store, content), options);
  return { store, materials, save };
}

describe("boxRecord", () => {
  it("when nothing was tested, knows the box and no time", async () => {
    const { store, materials } = await box();
    expect(boxRecord({ store }, materials.lampId)).toMatchObject({
      lamp: { name: "Box" },
      combinations: [],
      newestTest: null,
      done: { "first-test": false, distance: false },
    });
    expect(() => boxRecord({ store }, "nope")).toThrow(/no lamp/);
  });

  it("when it was tested at two distances, holds the newest against those at its own distance alone", async () => {
    const { store, materials, save } = await box();
    await save("one", { distanceMm: 150 });
    await save("two", { distanceMm: 300, shift: 0.6 });
    const newest = await save("three", { distanceMm: 150, shift: 0.01 });
    const { combinations, done, newestTest } = boxRecord({ store }, materials.lampId);
    expect(done).toMatchObject({ "first-test": true, distance: true });
    expect(combinations).toHaveLength(1);
    const [only] = combinations;
    expect(newestTest?.id).toBe(newest);
    expect(only?.newest.id).toBe(newest);
    expect(only?.drift?.tests).toHaveLength(2);
    // A hundredth of log H is a thirtieth of a stop.
    expect(only?.drift?.newestStops).toBeCloseTo(0.033, 2);
  });

  it("gives the lookup's time, not the newest test's own", async () => {
    const { store, materials, save } = await box();
    await save("one");
    await save("two", { shift: 0.02 });
    const [only] = boxRecord({ store }, materials.lampId).combinations;
    const base = baseTimeOf({ store }, only!);
    expect(base).toMatchObject({ source: "pooled", tests: 2 });
    // 90 % of the deepest blue lies ln(9) / 4 = 0.549 above the middle at log H 2.2; the film adds its density of 0.1.
    expect(Math.abs(Math.log10("seconds" in base ? base.seconds : 1) - 2.859)).toBeLessThan(0.03);
  });
});
