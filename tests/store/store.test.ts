import { copyFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { InputError } from "#shared/errors.ts";
import { openSql } from "#src/store/sql.ts";
import { databaseName } from "#src/store/database-name.ts";
import { openStore } from "#src/store/store.ts";
import {
  savePicture,
  sampleTestRecord,
  saveSampleMaterials,
  saveSampleTest,
} from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

describe("materials", () => {
  it("when saved and opened again, are as they were", async () => {
    const folder = temporaryFolder();
    const first = openStore(folder);
    const lamp = first.lamps.create({
      name: "Box, left",
      notes: "eight tubes",
      kind: "tubes",
      widthMm: 600,
      heightMm: 600,
      distanceMm: 200,
      archived: false,
    });
    first.close();
    const second = openStore(folder);
    expect(second.lamps.get(lamp.id)).toEqual(lamp);
    expect(second.lamps.list()).toEqual([lamp]);
    second.close();
  });

  it("when archived, leave the list but can be asked for", async () => {
    const store = openStore(temporaryFolder());
    const { id, createdAt, ...input } = store.supports.create({
      name: "Cotton",
      notes: "",
      kind: "fabric",
      archived: false,
    });
    store.supports.replace(id, { ...input, archived: true });
    expect(store.supports.list()).toEqual([]);
    expect(store.supports.list({ archived: true })).toMatchObject([{ id, createdAt, archived: true }]);
    store.close();
  });

  it("when a test uses one, refuse to be deleted; when the test is gone, obey", async () => {
    const store = openStore(temporaryFolder());
    const materials = saveSampleMaterials(store);
    const pictureId = await savePicture(store);
    const test = store.transaction(() => store.tests.save(sampleTestRecord(materials, pictureId)));
    expect(() => store.lamps.remove(materials.lampId)).toThrow(expect.objectContaining({ code: "in-use" }));
    store.transaction(() => store.tests.remove(test.id));
    store.lamps.remove(materials.lampId);
    expect(store.lamps.find(materials.lampId)).toBeUndefined();
    expect(() => store.lamps.get(materials.lampId)).toThrow(InputError);
    store.close();
  });
});

describe("tests", () => {
  it("when saved, are read back whole", async () => {
    const store = openStore(temporaryFolder());
    const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store), {
      notes: "überall blau",
      name: "First",
    });
    const saved = store.transaction(() => store.tests.save(record));
    expect(store.tests.get(saved.id)).toEqual({
      ...record,
      id: saved.id,
      createdAt: saved.createdAt,
      updatedAt: saved.updatedAt,
    });
    store.close();
  });

  it("when one row of a test cannot be written, leave no part of it", async () => {
    const store = openStore(temporaryFolder());
    const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store));
    const broken = { ...record, furtherPictures: { photos: ["no such picture"], evenLight: null } };
    expect(() => store.transaction(() => store.tests.save(broken))).toThrow();
    expect(store.tests.count()).toBe(0);
    store.transaction(() => store.tests.save(record));
    expect(store.tests.count()).toBe(1);
    store.close();
  });

  it("when listed by pages, give every test once, newest first, by every filter", async () => {
    const store = openStore(temporaryFolder());
    const materials = saveSampleMaterials(store);
    const other = saveSampleMaterials(store);
    const pictureId = await savePicture(store);
    store.transaction(() => {
      for (let n = 0; n < 25; n += 1) {
        const madeAt = `2026-03-${String(1 + Math.floor(n / 2)).padStart(2, "0")}T10:00:00+01:00`;
        store.tests.save(
          sampleTestRecord(n % 5 === 0 ? other : materials, pictureId, {
            madeAt,
            name: `Number ${n}`,
            ...(n % 2 === 0 ? { filmId: null } : {}),
          }),
        );
      }
    });
    const seen: string[] = [];
    let after: string | undefined;
    do {
      const page = store.tests.list({ limit: 4, ...(after === undefined ? {} : { after }) });
      seen.push(...page.tests.map((test) => test.id));
      after = page.next ?? undefined;
    } while (after !== undefined);
    expect(new Set(seen).size).toBe(25);
    const times = store.tests.list().tests.map((test) => Date.parse(test.madeAt));
    expect(times).toEqual([...times].sort((a, b) => b - a));
    expect(store.tests.list({ lampId: other.lampId }).tests).toHaveLength(5);
    expect(store.tests.list({ filmId: "none" }).tests).toHaveLength(13);
    expect(store.tests.list({ from: "2026-03-12", to: "2026-03-13" }).tests).toHaveLength(2);
    expect(store.tests.list({ search: "NUMBER 2" }).tests).toHaveLength(6);
    expect(store.tests.list({ search: "paper number" }).tests).toHaveLength(25);
    expect(store.tests.list({ search: "cotton" }).tests).toHaveLength(0);
    expect(store.tests.list({ search: "2026-03-12" }).tests).toHaveLength(2);
    expect(store.tests.list({ verdict: "reversal" }).tests).toHaveLength(0);
    expect(store.tests.count({ supportId: materials.supportId })).toBe(20);
    expect(() => store.tests.list({ after: "nonsense" })).toThrow(InputError);
    store.close();
  });
});

describe("closing", () => {
  it("leaves everything in the one database file, which can be copied alone", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const test = await saveSampleTest(store);
    store.close();
    const copy = temporaryFolder();
    copyFileSync(join(folder, databaseName), join(copy, databaseName));
    const again = openStore(copy);
    expect(again.tests.get(test.id)).toEqual(test);
    again.close();
  });
});

describe("sql", () => {
  it("when a value is not storable, refuses it instead of passing it to the library", async () => {
    const sql = openSql(join(temporaryFolder(), "x.db"));
    for (const value of [true, undefined, NaN, {}, 10n])
      expect(() => sql.get("SELECT ?", value as never)).toThrow(TypeError);
    sql.close();
  });
});
