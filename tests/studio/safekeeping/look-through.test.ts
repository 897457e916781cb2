// What can go wrong with a studio's files is found by a press, named in plain words, with what to do.
import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import LibsqlDatabase from "libsql";
import request from "supertest";
import { beforeEach, describe, expect, it } from "vitest";
import { printerInputSchema } from "#shared/schema/printers.ts";
import { testApp } from "../../support/test-app.ts";
import { savePicture, saveSampleMaterials, sampleTestRecord } from "../../support/studios/sample-records.ts";

let studio: ReturnType<typeof testApp>;
let testId: string;
let picture: string;
let file: string;

beforeEach(async () => {
  studio = testApp();
  const { store } = studio;
  const materials = saveSampleMaterials(store);
  picture = await savePicture(store, "one");
  const other = await savePicture(store, "two");
  testId = store.transaction(() => {
    store.tests.save(sampleTestRecord(materials, other));
    return store.tests.save(sampleTestRecord(materials, picture)).id;
  });
  file = store.pictures.get(picture).file;
});

const look = async (): Promise<string> => (await request(studio.app).post("/studio/safe/through").expect(200)).text;

/** As a failing disk or another program would change the database. */
function change(statement: string): void {
  const database = new LibsqlDatabase(join(studio.store.dataDir, "wedgewright.db"));
  database.exec(statement);
  database.close();
}

describe("a look through everything", () => {
  it("says of a whole studio that it is whole, and how much was read", async () => {
    expect(await look()).toMatch(
      /6 records and 2 pictures \(\d+ MB\) were read from the disk in \d+ s: all of them are whole/,
    );
    await request(studio.app)
      .get("/studio/safe")
      .expect(200, /Look through everything/);
  });

  it("finds a picture of which one byte was changed, and the test that it belongs to", async () => {
    const bytes = readFileSync(file);
    bytes[1] = (bytes[1] ?? 0) ^ 1;
    writeFileSync(file, bytes);
    const page = await look();
    expect(page).toContain("changed or damaged");
    expect(page).toContain(`href="/tests/${testId}"`);
    expect(page).toContain("Restore a saved file that still has it, or take the photo again");
  });

  it("finds a picture whose file is gone", async () => {
    rmSync(file);
    const page = await look();
    expect(page).toContain("The file of a picture is gone");
    expect(page.match(/href="\/tests\/[\w-]{12}"/g)).toEqual([`href="/tests/${testId}"`]);
  });

  it.each([
    ["UPDATE test_records SET reading = '{\"image\":1}' WHERE test_id = 'ID'", "A record (tests) cannot be read"],
    ["UPDATE test_records SET curve = '{' WHERE test_id = 'ID'", "A record (tests) cannot be read"],
    ["UPDATE lamps SET record = '{'", "A record (lamps) cannot be read"],
    ["PRAGMA foreign_keys = OFF; DELETE FROM lamps", "The database is damaged in places"],
  ])("finds what %s leaves, and goes on", async (statement, words) => {
    change(statement.replace("ID", testId));
    const page = await look();
    expect(page).toContain(words);
    expect(page).toContain("2 pictures");
  });

  it("reads printers and kept curves too", async () => {
    const { id } = studio.store.printers.create(printerInputSchema.parse({ name: "Desk printer" }));
    expect(await look()).toContain("7 records and 2 pictures");
    change(`UPDATE printers SET record = '{' WHERE id = '${id}'`);
    expect(await look()).toContain("A record (printers) cannot be read");
    change(`DELETE FROM printers; INSERT INTO kept_curves VALUES ('k', '', '', 'K', 0, '{')`);
    expect(await look()).toContain("A record (kept-curves) cannot be read");
  });

  it("takes nothing for broken that is deleted meanwhile, and two at once get one answer", async () => {
    const looks = Promise.all([studio.store.lookThrough(), look(), look()]);
    await request(studio.app).delete(`/api/tests/${testId}`).expect(204);
    const [found] = await looks;
    expect(found.badPictures).toEqual([]);
    expect(found.unreadable).toEqual([]);
  });
});
