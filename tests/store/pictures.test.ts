import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  renameSync,
  rmSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { openSql } from "#src/store/sql.ts";
import { databaseName } from "#src/store/database-name.ts";
import { openStore } from "#src/store/store.ts";
import { StoreError } from "#src/store/store-error.ts";
import {
  savePicture,
  sampleTestRecord,
  saveSampleMaterials,
  saveSampleTest,
} from "../support/studios/sample-records.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const long = new Date("2026-01-01T00:00:00Z");

function picturesIn(folder: string): string[] {
  return readdirSync(join(folder, "pictures"), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => entry.name);
}

describe("pictures", () => {
  it("when a written one never gets its row, goes again, unless another test waits for it", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const bytes = new TextEncoder().encode("twice");
    const [first, second] = [await store.pictures.write(bytes), await store.pictures.write(bytes)];
    store.pictures.letGo(first);
    expect(picturesIn(folder)).toHaveLength(1);
    store.pictures.letGo(second);
    expect(picturesIn(folder)).toHaveLength(0);
    store.close();
  });

  it("when the same bytes come twice, are kept once, under the hash of their content", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    // SHA-256 of "abc": FIPS 180-4, worked example.
    const id = await savePicture(store, "abc");
    expect(id).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    await savePicture(store, "abc");
    expect(picturesIn(folder)).toEqual([`${id}.bin`]);
    expect(Buffer.from(await store.pictures.read(id)).toString()).toBe("abc");
    store.close();
  });

  it("when two tests share one, keep it until the second is deleted", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const materials = saveSampleMaterials(store);
    const pictureId = await savePicture(store);
    const [first, second] = [1, 2].map(() =>
      store.transaction(() => store.tests.save(sampleTestRecord(materials, pictureId))),
    );
    store.transaction(() => store.tests.remove(first!.id));
    store.pictures.removeIfUnused(first!.pictureId);
    expect(picturesIn(folder)).toHaveLength(1);
    store.transaction(() => store.tests.remove(second!.id));
    store.pictures.removeIfUnused(second!.pictureId);
    expect(picturesIn(folder)).toHaveLength(0);
    store.close();
  });

  it("when no row refers to an old file, or it was left half written, clear it away at the next start", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const kept = await saveSampleTest(store);
    const lost = store.pictures.get(await savePicture(store, "nobody refers to me"));
    const half = join(folder, "pictures", "ab", "abcdef.jpg.1234.part");
    mkdirSync(join(folder, "pictures", "ab"), { recursive: true });
    writeFileSync(half, "half");
    const young = store.pictures.get(await savePicture(store, "just now"));
    store.close();
    for (const file of [half, lost.file]) utimesSync(file, long, long);
    const again = openStore(folder, { now: () => new Date(Date.now() + 3_000_000) });
    expect(existsSync(half)).toBe(false);
    expect(existsSync(young.file)).toBe(true);
    again.close();
    openStore(folder, { now: () => new Date(Date.now() + 4_000_000) }).close();
    expect(picturesIn(folder)).toHaveLength(1);
    expect(picturesIn(folder)[0]).toContain(kept.pictureId);
  });
});

describe("pictures whose database is gone", () => {
  const oldFile = (folder: string, id: string): string => join(folder, "pictures", id.slice(0, 2), `${id}.bin`);

  it.each([
    ["missing", (file: string) => rmSync(file)],
    ["empty", (file: string) => truncateSync(file)],
    [
      "without a table",
      (file: string) => {
        rmSync(file);
        openSql(file).close();
      },
    ],
  ])("when the database is %s, are left alone and the start is refused", async (_case, lose) => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const test = await saveSampleTest(store);
    store.close();
    utimesSync(oldFile(folder, test.pictureId), long, long);
    lose(join(folder, databaseName));
    expect(() => openStore(folder)).toThrow(/holds 1 pictures, but wedgewright.db is missing or empty/);
    expect(() => openStore(folder)).toThrow(StoreError);
    expect(picturesIn(folder)).toHaveLength(1);
  });

  it("when the database is put back after that, are all there", async () => {
    const folder = temporaryFolder();
    const store = openStore(folder);
    const test = await saveSampleTest(store);
    store.close();
    utimesSync(oldFile(folder, test.pictureId), long, long);
    renameSync(join(folder, databaseName), join(folder, "elsewhere.db"));
    expect(() => openStore(folder)).toThrow(StoreError);
    renameSync(join(folder, "elsewhere.db"), join(folder, databaseName));
    const again = openStore(folder);
    expect(again.tests.get(test.id).pictureId).toBe(test.pictureId);
    expect(existsSync(again.pictures.get(test.pictureId).file)).toBe(true);
    again.close();
  });

  it("when an old copy of the database was put back, are set aside, never erased", async () => {
    const folder = temporaryFolder();
    openStore(folder).close();
    copyFileSync(join(folder, databaseName), join(folder, "copy.db"));
    const store = openStore(folder);
    const test = await saveSampleTest(store);
    store.close();
    utimesSync(oldFile(folder, test.pictureId), long, long);
    renameSync(join(folder, "copy.db"), join(folder, databaseName));
    openStore(folder).close();
    expect(readdirSync(join(folder, "lost"))).toEqual([`${test.pictureId}.bin`]);
  });
});

it("half-written files of a server that was killed go at the next start that is alone, however young", async () => {
  const dataDir = temporaryFolder();
  openStore(dataDir).close();
  const folder = join(dataDir, "pictures", "ab");
  mkdirSync(folder, { recursive: true });
  const half = join(folder, "abcd.png.0123.part");
  writeFileSync(half, "half of it");
  openStore(dataDir).close();
  expect(existsSync(half)).toBe(true);
  openStore(dataDir, { isAlone: true }).close();
  expect(existsSync(half)).toBe(false);
});
