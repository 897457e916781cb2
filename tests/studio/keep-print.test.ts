// Prints in work: begun, changed, pictured, deleted, in a real store.
import { describe, expect, it } from "vitest";
import { printRequestSchema } from "#shared/schema/prints.ts";
import { beginPrint, changePrint, deletePrint, keepPrintPicture } from "#src/studio/keep-print.ts";
import { inBin } from "#src/studio/safekeeping/bin.ts";
import { fakeImaging } from "../support/fake-imaging.ts";
import { saveSampleMaterials } from "../support/studios/sample-records.ts";
import { testApp } from "../support/test-app.ts";

function studio() {
  const tools = testApp({ imaging: fakeImaging({ preview: () => ({ jpeg: new Uint8Array(1) }) }) });
  const materials = saveSampleMaterials(tools.store);
  const print = beginPrint(tools, printRequestSchema.parse({ ...materials, name: "Fern", exposureSeconds: 600 }));
  return { ...tools, materials, print };
}

describe("beginPrint", () => {
  it("gives the print the usual steps, its exposure with the time that was asked for", () => {
    const { print } = studio();
    expect(print.steps.find(({ kind }) => kind === "exposure")?.seconds).toBe(600);
    expect(print.steps.length).toBeGreaterThan(2);
    expect(print.steps.every(({ startedAt }) => startedAt === null)).toBe(true);
  });

  it("when a material is not there, saves nothing", () => {
    const { store, materials } = studio();
    const request = printRequestSchema.parse({ ...materials, lampId: "nope", name: "x", exposureSeconds: 60 });
    expect(() => beginPrint({ store }, request)).toThrow(/no lamp "nope"/);
    expect(store.prints.list({ limit: 10 }).prints).toHaveLength(1);
  });
});

describe("changePrint", () => {
  it("changes what is named and keeps the rest; on an older version, refuses and changes nothing", () => {
    const { store, print } = studio();
    const changed = changePrint({ store }, print.id, { outcome: "too-light" });
    expect(changed).toMatchObject({ name: "Fern", exposureSeconds: 600, outcome: "too-light" });
    const seenVersion = "2020-01-01T00:00:00.000Z";
    expect(() => changePrint({ store }, print.id, { name: "Moss" }, { seenVersion })).toThrow(
      expect.objectContaining({ code: "changed-meanwhile" }),
    );
    expect(store.prints.get(print.id).name).toBe("Fern");
  });
});

describe("keepPrintPicture", () => {
  it("keeps the newest picture and lets the one before go", async () => {
    const { store, imaging, print } = studio();
    const tools = { store, imaging };
    const first = await keepPrintPicture(tools, print.id, new TextEncoder().encode("first"));
    const second = await keepPrintPicture(tools, print.id, new TextEncoder().encode("second"));
    expect(second.pictureId).not.toBe(first.pictureId);
    expect(store.pictures.list().map(({ id }) => id)).toEqual([second.pictureId]);
  });

  it("when the picture cannot be read, keeps the one before", async () => {
    const { store, imaging, print } = studio();
    const kept = await keepPrintPicture({ store, imaging }, print.id, new TextEncoder().encode("first"));
    const broken = fakeImaging({
      preview: () => {
        throw new Error("broken");
      },
    });
    await expect(keepPrintPicture({ store, imaging: broken }, print.id, new Uint8Array(9))).rejects.toThrow("broken");
    expect(store.prints.get(print.id).pictureId).toBe(kept.pictureId);
    expect(store.pictures.list()).toHaveLength(1);
  });
});

describe("deletePrint", () => {
  it("takes print and picture away, into the bin", async () => {
    const { store, imaging, print } = studio();
    await keepPrintPicture({ store, imaging }, print.id, new TextEncoder().encode("first"));
    deletePrint({ store }, print.id);
    expect(store.prints.find(print.id)).toBeUndefined();
    expect(store.pictures.list()).toEqual([]);
    expect(inBin({ store })).toMatchObject([{ kind: "print", label: "Fern" }]);
  });
});
