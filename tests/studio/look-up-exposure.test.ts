// The time for a combination, from saved tests of a made-up coating whose times are known.
import { describe, expect, it } from "vitest";
import { exposureQuerySchema } from "#shared/schema/exposures.ts";
import { doTestsDisagree, findNextBestTests, lookUpExposure } from "#src/studio/look-up-exposure.ts";
import { wantedCombination } from "#src/studio/wanted-combination.ts";
import { printSpreadOf, studioModel } from "#src/studio/studio-model.ts";
import { forWriting } from "#src/studio/tools.ts";
import { leaveTestOut, noteStudioChange, forgetStudioChange } from "#src/studio/lamps/note-change.ts";
import { savePicture, saveSampleMaterials } from "../support/studios/sample-records.ts";
import { saveTablet } from "../support/studios/saved-tablets.ts";
import { testApp } from "../support/test-app.ts";

/** log10 of the seconds to 90 % of the deepest blue through the sample film of density 0.1: 2.2 + ln(9) / 4 + 0.1. */
const known = 2.849;

async function studio(shifts: readonly number[]) {
  const { store } = testApp();
  const materials = saveSampleMaterials(store);
  const ids: string[] = [];
  for (const [index, shift] of shifts.entries())
    ids.push(saveTablet(store, materials, await savePicture(store, `picture ${index}`), { shift }));
  const look = (changes: object = {}) =>
    lookUpExposure({ store }, exposureQuerySchema.parse({ ...materials, ...changes }));
  return { store, materials, ids, look };
}

describe("lookUpExposure", () => {
  it("from one test, gives the time of the coating through the film that is asked for", async () => {
    const { look, ids } = await studio([0]);
    const through = look();
    expect(through).toMatchObject({ source: "tested", testIds: ids, verdict: "ok" });
    expect(Math.abs(Math.log10(through.seconds ?? 1) - known)).toBeLessThan(0.01);
    const bare = look({ filmId: undefined });
    expect(Math.log10((through.seconds ?? 1) / (bare.seconds ?? 1))).toBeCloseTo(0.1, 3);
  });

  it("for half of the deepest blue, takes the time from the test's own curve", async () => {
    const { look } = await studio([0]);
    // Half lies ln(9) / 4 of log H before 90 %.
    const ratio = (look({ share: 0.5 }).seconds ?? 1) / (look().seconds ?? 1);
    expect(Math.abs(Math.log10(ratio) + Math.log(9) / 4)).toBeLessThan(0.01);
  });

  it("when a material is not there, names the field", async () => {
    const { look } = await studio([0]);
    expect(() => look({ supportId: "nope" })).toThrow(
      expect.objectContaining({ field: "supportId", detail: expect.stringContaining("no such paper or fabric") }),
    );
  });

  it("says what one more test of the combination is expected to leave of the range, the best of all", async () => {
    const { store, materials } = await studio([0, 0.02]);
    const query = exposureQuerySchema.parse(materials);
    expect(wantedCombination(store, query)).toMatchObject({ lamp: { id: materials.lampId }, batch: null });
    const best = findNextBestTests({ store }, query);
    expect(best?.gains[0]).toMatchObject({ supportId: materials.supportId, coatingId: materials.coatingId });
    expect(best!.gains[0]!.halfStops).toBeLessThan(best!.halfStops);
    expect(best!.gains[0]!.halfStops).toBeGreaterThan(0.3 * best!.halfStops);
  });

  it("when two tests contradict each other, says so; when one of them is left out, no more", async () => {
    const { store, materials, look, ids } = await studio([0, 0.6]);
    const disagree = () => doTestsDisagree({ store }, materials);
    expect(disagree()).toBe(true);
    leaveTestOut({ store }, ids[1] ?? "", "wrong lamp");
    const alone = look();
    expect(disagree()).toBe(false);
    expect(alone.testIds).toEqual([ids[0]]);
    leaveTestOut({ store }, ids[1] ?? "", null);
    expect(disagree()).toBe(true);
  });
});

describe("what changed in the studio", () => {
  it("is noted and forgotten again", async () => {
    const { store, materials } = await studio([]);
    noteStudioChange({ store }, { kind: "tubes", scope: "lamp", scopeId: materials.lampId, at: "2026-05-01" });
    const [change] = store.changes.list();
    expect(change).toMatchObject({ kind: "tubes", scopeId: materials.lampId });
    forgetStudioChange({ store }, "nope");
    forgetStudioChange({ store }, change?.id ?? "");
    expect(store.changes.list()).toEqual([]);
  });
});

describe("studioModel", () => {
  it("is fitted once for what is saved, and anew after a test was saved", async () => {
    const { store, materials } = await studio([0]);
    const first = studioModel(store, "red");
    expect(first.tests).toHaveLength(1);
    expect(studioModel(store, "red").fit).toBe(first.fit);
    saveTablet(store, materials, await savePicture(store, "one more"), { shift: 0.01 });
    const later = studioModel(store, "red");
    expect(later.tests).toHaveLength(2);
    expect(later.fit).not.toBe(first.fit);
  });

  it("tells a scatter of prints between none and a stop, wider where the tests scatter", async () => {
    const calm = printSpreadOf((await studio([0, 0.01, -0.01, 0.01])).store, "red");
    const wild = printSpreadOf((await studio([0, 0.12, -0.12, 0.12])).store, "red");
    expect(calm).toBeGreaterThan(0);
    expect(wild).toBeGreaterThan(calm);
    expect(wild).toBeLessThan(Math.log10(2));
  });
});

describe("forWriting", () => {
  it("gives the very store that is read, so that an act sees what it wrote", async () => {
    const { store } = await studio([]);
    expect(forWriting(store)).toBe(store);
  });
});
