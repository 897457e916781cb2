// Everything out and everything in again: backups, kept states, shared calibrations, the bin and the samples.
import { runStepsFrom } from "#shared/prints/procedure.ts";
import { mkdtempSync, readFileSync, writeFileSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { deletePrint } from "#src/studio/keep-print.ts";
import { backUp, restoreBackup } from "#src/studio/safekeeping/back-up.ts";
import { binPrint, binTest, bringBack, deleteMaterial, emptyBin, inBin } from "#src/studio/safekeeping/bin.ts";
import { importCalibrations } from "#src/studio/safekeeping/import-calibrations.ts";
import {
  keepDailyState,
  lookIntoBackup,
  restoreHeldBackup,
  restoreKeptState,
} from "#src/studio/safekeeping/keep-safe.ts";
import { loadSamples } from "#src/studio/safekeeping/load-samples.ts";
import { sharedCalibrations } from "#src/studio/safekeeping/share-calibrations.ts";
import { readStudio } from "../../../samples/studio.ts";
import { rootDir } from "#src/settings.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

async function studioWithTest(text = "picture") {
  const tools = testApp();
  const materials = saveSampleMaterials(tools.store);
  const record = sampleTestRecord(materials, await savePicture(tools.store, text), { name: "Strip" });
  const test = tools.store.transaction(() => tools.store.tests.save(record));
  return { ...tools, materials, test };
}

async function whole(pieces: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const all: Uint8Array[] = [];
  for await (const piece of pieces) all.push(piece);
  return Buffer.concat(all);
}
async function* inPieces(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += 5000) yield bytes.subarray(at, at + 5000);
}

describe("backups", () => {
  it("one archive brings everything into another studio, and what was there can be gone back to", async () => {
    const from = await studioWithTest();
    const to = await studioWithTest("another picture");
    const archive = await whole(backUp(from));
    const restored = await restoreBackup(to, inPieces(archive));
    expect(restored).toMatchObject({ tests: 1, pictures: 1, missing: [], damaged: [] });
    expect(to.store.tests.get(from.test.id)).toEqual(from.test);
    expect(to.store.tests.find(to.test.id)).toBeUndefined();
    await restoreKeptState(to, restored.replaced);
    expect(to.store.tests.get(to.test.id)).toEqual(to.test);
  });

  it("a cut one is refused, and nothing has changed", async () => {
    const from = await studioWithTest();
    const archive = await whole(backUp(from));
    const half = archive.subarray(0, archive.length / 2);
    await expect(restoreBackup(from, inPieces(half))).rejects.toThrow(
      expect.objectContaining({ code: "backup-unreadable" }),
    );
    expect(from.store.tests.get(from.test.id)).toEqual(from.test);
  });

  it("one can be looked into before it is restored", async () => {
    const from = await studioWithTest();
    const to = testApp();
    const held = await lookIntoBackup(to, inPieces(await whole(backUp(from))));
    expect(to.store.tests.count()).toBe(0);
    await restoreHeldBackup(to, held.id);
    expect(to.store.tests.get(from.test.id)).toEqual(from.test);
    await expect(restoreHeldBackup(to, held.id)).rejects.toThrow(expect.objectContaining({ code: "not-found" }));
  });

  it("the daily state is kept once a day, and never of an empty studio", async () => {
    const studio = await studioWithTest();
    expect(await keepDailyState(testApp(), new Date())).toBeNull();
    expect(await keepDailyState(studio, new Date())).not.toBeNull();
    expect(await keepDailyState(studio, new Date())).toBeNull();
    expect(await keepDailyState(studio, new Date(Date.now() + 21 * 3_600_000))).not.toBeNull();
  });
});

describe("shared calibrations", () => {
  it("go out as one file and come in with their picture read anew", async () => {
    const from = await studioWithTest();
    let text = "";
    for await (const piece of sharedCalibrations(from, [from.test.id])) text += piece;
    const to = testApp();
    const answer = await importCalibrations(to, JSON.parse(text));
    expect(answer).toMatchObject({ added: 1, refused: 0, materialsAdded: 4 });
    expect(new TextDecoder().decode(await to.store.pictures.read(from.test.pictureId))).toBe("picture");
    const torn = JSON.parse(text) as { lamps: Record<string, unknown> };
    torn.lamps = {};
    await expect(importCalibrations(testApp(), torn)).rejects.toThrow(/Test 1 of the file refers to a lamp/);
  });
});

describe("the bin", () => {
  it("holds tests, prints and materials, gives each back by its name, and is emptied for good", async () => {
    const { store, test, materials } = await studioWithTest();
    binTest({ store }, test, [test.pictureId]);
    const print = store.prints.save({
      ...materials,
      name: "Fern",
      coolDownSeconds: 240,
      printedBy: "",
      notes: "",
      exposureSeconds: 60,
      steps: runStepsFrom([{ name: "Expose", kind: "exposure", seconds: 60, note: "" }], 60),
    });
    binPrint({ store }, print);
    expect(
      inBin({ store })
        .map(({ kind }) => kind)
        .sort(),
    ).toEqual(["print", "test"]);
    emptyBin({ store });
    expect(inBin({ store })).toEqual([]);

    deletePrint({ store }, print.id);
    const spare = store.films.create({ name: "Spare", notes: "", device: "", archived: false }).id;
    deleteMaterial({ store }, "films", spare);
    for (const { name } of inBin({ store })) await bringBack({ store }, name);
    expect(store.prints.get(print.id)).toMatchObject({ name: "Fern", exposureSeconds: 60 });
    expect(store.films.get(spare).name).toBe("Spare");
    expect(() => deleteMaterial({ store }, "films", materials.filmId)).toThrow(
      expect.objectContaining({ code: "in-use" }),
    );
    await expect(bringBack({ store }, "nope")).rejects.toThrow(/bin/);
  });
});

describe("loadSamples", () => {
  it("loads the invented studio once, marked as invented", async () => {
    const tools = testApp({ imaging: fakeImaging() });
    const samples = join(rootDir, "samples");
    const first = await loadSamples(tools, samples);
    expect(first.added).toBe(readStudio().tests.length);
    expect((await loadSamples(tools, samples)).added).toBe(0);
    expect(tools.store.tests.list().tests.every(({ invented }) => invented)).toBe(true);
  });

  it("when a picture is missing, says so and saves no test without it", async () => {
    const folder = mkdtempSync(join(temporaryFolder(), "samples-"));
    mkdirSync(join(folder, "pictures"));
    writeFileSync(join(folder, "studio.json"), readFileSync(join(rootDir, "samples", "studio.json")));
    const tools = testApp();
    await expect(loadSamples(tools, folder)).rejects.toThrow(/ENOENT/);
    expect(tools.store.tests.count()).toBe(0);
  });
});
