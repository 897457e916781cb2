import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { defaultProcedure, runStepsFrom } from "#shared/prints/procedure.ts";
import { printInputSchema, type PrintInput } from "#shared/schema/prints.ts";
import { coatingInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { stockInputSchema } from "#shared/schema/stocks.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

describe("the print log", () => {
  let folder: string;
  let store: Store;
  let input: PrintInput;

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), "prints-"));
    store = openStore(folder);
    const lamp = store.lamps.create(lampInputSchema.parse({ name: "Box A" }));
    const support = store.supports.create(supportInputSchema.parse({ name: "Cotton" }));
    const coating = store.coatings.create(coatingInputSchema.parse({ name: "Classic" }));
    input = printInputSchema.parse({
      name: "Apron",
      lampId: lamp.id,
      supportId: support.id,
      coatingId: coating.id,
      exposureSeconds: 480,
      steps: runStepsFrom(defaultProcedure, 480),
    });
  });

  afterEach(() => {
    store.close();
    rmSync(folder, { recursive: true });
  });

  it("when a print is saved and opened again, is the same", () => {
    const saved = store.prints.save(input);
    store.close();
    store = openStore(folder);
    expect(store.prints.get(saved.id)).toEqual(saved);
  });

  it("when a step begins, lists the print as in work", () => {
    const { id } = store.prints.save(input);
    const [first, ...rest] = input.steps;
    store.prints.replace(id, { ...input, steps: [{ ...first!, startedAt: "2026-05-01T12:00:00Z" }, ...rest] });
    expect(store.prints.list({ state: "in-work" }).prints.map((print) => print.id)).toEqual([id]);
    expect(store.prints.list({ state: "planned" }).prints).toEqual([]);
  });

  it("when there are more prints than fit, goes on where the page ended", () => {
    const ids = ["a", "b", "c"].map(
      (id, index) => store.prints.save(input, { id, createdAt: `2026-05-0${index + 1}T12:00:00.000Z` }).id,
    );
    const first = store.prints.list({ limit: 2 });
    const second = store.prints.list({ limit: 2, after: first.next! });
    expect([...first.prints, ...second.prints].map((print) => print.id)).toEqual(ids.reverse());
    expect(second.next).toBeNull();
  });

  it("when a print uses a lamp, the lamp cannot be deleted, and can when the print is gone", () => {
    const { id } = store.prints.save(input);
    expect(() => store.lamps.remove(input.lampId)).toThrow(/archive it/i);
    store.prints.remove(id);
    store.lamps.remove(input.lampId);
    expect(store.lamps.list()).toEqual([]);
  });

  it("when a print has a picture, the picture stays as long as the print", async () => {
    const picture = await store.pictures.write(new Uint8Array([0xff, 0xd8, 0xff, 1]));
    const { id } = store.transaction(() => store.prints.save(input, { pictureId: store.pictures.keep(picture) }));
    store.pictures.letGo(picture);
    store.pictures.removeIfUnused(picture.id);
    expect(store.pictures.find(picture.id)).toBeDefined();
    store.prints.remove(id);
    store.pictures.removeIfUnused(picture.id);
    expect(store.pictures.find(picture.id)).toBeUndefined();
  });

  it("when a bottle is put on the shelf, it stands in the list", () => {
    const stock = store.stocks.create(
      stockInputSchema.parse({ name: "Citrate stock", madeOn: "2026-04-01", lot: "7" }),
    );
    expect(store.stocks.list()).toEqual([stock]);
  });
});
