import { describe, expect, it } from "vitest";
import { studioObservations } from "#shared/lookup/studio-observations.ts";
import { weighedRecords, type WeighedRecords } from "#src/studio/weighed-records.ts";
import type { Store } from "#src/store/store.ts";
import {
  curveWithShoulder,
  sampleTestRecord,
  savePicture,
  saveSampleMaterials,
} from "../support/studios/sample-records.ts";
import { testApp } from "../support/test-app.ts";

async function studio(tests: number) {
  const { store } = testApp();
  const materials = saveSampleMaterials(store);
  const save = async (day: number): Promise<string> => {
    const record = sampleTestRecord(materials, await savePicture(store, `picture ${day}`), {
      madeAt: new Date(Date.UTC(2026, 0, day)).toISOString(),
    });
    return store.transaction(() => store.tests.save(record)).id;
  };
  const ids: string[] = [];
  for (let i = 0; i < tests; i++) ids.push(await save(2 * i + 1));
  return { store, materials, save, ids };
}

/** What was read on from an earlier reading is what a fresh reading holds. */
function expectAsReadAnew(store: Store, read: WeighedRecords): void {
  expect(read).toEqual(weighedRecords(store, "red", undefined));
}

describe("records that the model weighs", () => {
  it("when nothing was written since, are the same objects", async () => {
    const { store } = await studio(3);
    const first = weighedRecords(store, "red", undefined);
    store.supports.create({ name: "Cotton", notes: "", kind: "fabric", archived: false });
    const next = weighedRecords(store, "red", first);
    expect(next.tests).toBe(first.tests);
    expect(next.lamps).toBe(first.lamps);
    expectAsReadAnew(store, next);
  });

  it("when tests were saved, changed and removed, hold them in place, the others as the same objects", async () => {
    const { store, save, ids } = await studio(4);
    const first = weighedRecords(store, "red", undefined);
    await save(4);
    await save(30);
    await save(-5);
    const { id, createdAt: _createdAt, updatedAt: _updatedAt, ...record } = store.tests.get(ids[2]!);
    store.transaction(() =>
      store.tests.replace(id, { ...record, request: { ...record.request, madeAt: "2026-01-02" } }),
    );
    store.transaction(() => store.tests.remove(ids[0]!));
    const next = weighedRecords(store, "red", first);
    expect(next.tests).toHaveLength(6);
    expectAsReadAnew(store, next);
    expect(next.tests.filter((each) => first.tests.includes(each))).toHaveLength(2);
  });

  it("when lamps, changes and left-out tests were written, read just these again", async () => {
    const { store, materials, ids } = await studio(3);
    const first = weighedRecords(store, "red", undefined);
    store.changes.create({ kind: "tubes", scope: "lamp", scopeId: materials.lampId, at: "2026-01-04T00:00:00Z" });
    store.changes.leaveOut(ids[1]!, "torn");
    const next = weighedRecords(store, "red", first);
    expect(next.events).toHaveLength(1);
    expect([...next.leftOut.keys()]).toEqual([ids[1]]);
    expect(next.lamps).toBe(first.lamps);
    expectAsReadAnew(store, next);
  });
});

describe("observations drawn on from earlier ones", () => {
  it("when a test is added, are those of records drawn anew, the old ones the same objects", async () => {
    const { store, save } = await studio(4);
    const first = weighedRecords(store, "red", undefined);
    const before = studioObservations(first);
    await save(40);
    const records = weighedRecords(store, "red", first);
    const next = studioObservations(records, before);
    expect(next.observations).toEqual(studioObservations(records).observations);
    expect(next.observations.slice(1).every((each, i) => each === before.observations[i])).toBe(true);
  });

  it("when two tests were made with one tablet and one with another, the two share its error", async () => {
    const { store, materials } = await studio(0);
    for (const [day, increment] of [0.3, 0.3, 0.31].entries()) {
      const record = sampleTestRecord(materials, await savePicture(store, `picture ${day}`), {
        madeAt: new Date(Date.UTC(2026, 0, 1 + day)).toISOString(),
        tablet: { kind: "transmission", steps: 5, increment, firstDensity: 0.05 },
      });
      store.transaction(() => store.tests.save({ ...record, curve: curveWithShoulder(2.4) }));
    }
    const { observations } = studioObservations(weighedRecords(store, "red", undefined));
    const [newest, second, first] = observations.map(({ tablet }) => tablet?.id);
    expect(first).toContain("transmission");
    expect(second).toBe(first);
    expect(newest).not.toBe(first);
  });

  it("when a lamp's notes change, stay the same objects; when it becomes the sun, are drawn anew", async () => {
    const { store, materials } = await studio(3);
    const first = weighedRecords(store, "red", undefined);
    const before = studioObservations(first);
    const { id, ...lamp } = store.lamps.find(materials.lampId)!;
    store.lamps.replace(id, { ...lamp, notes: "dusted" });
    const dusted = weighedRecords(store, "red", first);
    const same = studioObservations(dusted, before);
    expect(same.observations.every((each, i) => each === before.observations[i])).toBe(true);
    store.lamps.replace(id, { ...lamp, kind: "sun" });
    const sunny = studioObservations(weighedRecords(store, "red", dusted), same);
    expect(sunny.observations).toEqual([]);
  });
});
