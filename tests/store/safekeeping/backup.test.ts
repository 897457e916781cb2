import { execFileSync } from "node:child_process";
import { createReadStream, existsSync, mkdirSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { migrations } from "#src/store/migrations/all.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { tarEnd, tarFiles, tarHeader, tarPadding } from "#src/store/safekeeping/tar.ts";
import { savePicture, sampleTestRecord, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

async function whole(pieces: AsyncIterable<Uint8Array>): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  for await (const piece of pieces) parts.push(piece);
  return Buffer.concat(parts);
}

/** In pieces of an odd size, as a network brings them. */
async function* inPieces(bytes: Uint8Array, size = 700): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < bytes.byteLength; at += size) yield bytes.subarray(at, at + size);
}

async function fill(store: Store, count: number): Promise<string[]> {
  const ids: string[] = [];
  for (let n = 0; n < count; n++) {
    const record = sampleTestRecord(saveSampleMaterials(store), await savePicture(store, `picture ${n} `.repeat(500)), {
      name: `test ${n}`,
    });
    ids.push(store.transaction(() => store.tests.save(record)).id);
  }
  return ids;
}

function contents(store: Store): unknown {
  return {
    lamps: store.lamps.list({ archived: true }),
    films: store.films.list({ archived: true }),
    tests: store.tests.list({ limit: 1000 }).tests.map((test) => store.tests.get(test.id)),
    pictures: store.pictures.list().map((picture) => picture.id),
  };
}

function passingFiles(store: Store): string[] {
  return readdirSync(store.dataDir).filter((name) => name.startsWith("passing-"));
}

describe("a backup", () => {
  it("when restored into another data folder, brings everything back", async () => {
    const [from, to] = [openStore(temporaryFolder()), openStore(temporaryFolder())];
    await fill(from, 3);
    await fill(to, 2);
    const archive = await whole(from.backup("1.2.3"));
    const manifest = await to.restore(inPieces(archive));
    expect(manifest).toMatchObject({ version: "1.2.3", pictures: 3 });
    expect(contents(to)).toEqual(contents(from));
    for (const { id } of to.pictures.list()) expect(await to.pictures.read(id)).toEqual(await from.pictures.read(id));
    expect([...passingFiles(from), ...passingFiles(to)]).toEqual([]);
    await fill(to, 1);
    from.close();
    to.close();
  });

  it("when restored, is there after the store is opened again", async () => {
    const [from, to] = [openStore(temporaryFolder()), openStore(temporaryFolder())];
    await fill(from, 2);
    await to.restore(inPieces(await whole(from.backup("1.0.0"))));
    to.close();
    const again = openStore(to.dataDir);
    expect(contents(again)).toEqual(contents(from));
    from.close();
    again.close();
  });

  it("when unpacked by the system's tar, is a plain archive of database and pictures", async () => {
    const store = openStore(temporaryFolder());
    await fill(store, 2);
    const folder = temporaryFolder();
    writeFileSync(join(folder, "backup.tar"), await whole(store.backup("1.0.0")));
    execFileSync("tar", ["-xf", "backup.tar"], { cwd: folder });
    expect(readdirSync(folder).sort()).toEqual(["backup.tar", "pictures", "wedgewright-backup.json", "wedgewright.db"]);
    expect(readdirSync(join(folder, "pictures")).map((name) => name.split(".")[0])).toEqual(
      store.pictures.list().map((picture) => picture.id),
    );
    store.close();
  });

  it("when packed by the system's tar, is read", async () => {
    const folder = temporaryFolder();
    mkdirSync(join(folder, "in"));
    for (const size of [0, 1, 511, 512, 513, 70_000])
      writeFileSync(join(folder, "in", `${size}.bin`), Buffer.alloc(size, 7));
    execFileSync(
      "tar",
      [
        "--format=ustar",
        "-cf",
        "x.tar",
        "in/0.bin",
        "in/1.bin",
        "in/511.bin",
        "in/512.bin",
        "in/513.bin",
        "in/70000.bin",
      ],
      { cwd: folder },
    );
    const seen: string[] = [];
    for await (const file of tarFiles(createReadStream(join(folder, "x.tar"))))
      seen.push(`${file.name} ${(await whole(file.bytes)).byteLength}`);
    expect(seen).toEqual([
      "in/0.bin 0",
      "in/1.bin 1",
      "in/511.bin 511",
      "in/512.bin 512",
      "in/513.bin 513",
      "in/70000.bin 70000",
    ]);
  });
});

describe("a restore of something else", () => {
  const damaged: readonly (readonly [string, (archive: Buffer) => Uint8Array])[] = [
    ["nothing", () => new Uint8Array(0)],
    ["text", () => Buffer.from("this is no backup ".repeat(200))],
    ["an empty archive", () => tarEnd],
    ["an archive cut in half", (archive) => archive.subarray(0, archive.byteLength >> 1)],
    ["an archive cut before its last picture ends", (archive) => archive.subarray(0, archive.byteLength - 2000)],
    ["a damaged header", (archive) => damagedAt(archive, 20)],
    ["a damaged picture", (archive) => damagedAt(archive, archive.byteLength - 2000)],
    ["a damaged database", (archive) => damagedAt(archive, archive.indexOf("SQLite format 3") + 4096, 3000)],
    ["a database cut from its pictures", (archive) => withoutPictures(archive)],
    [
      "a file that leads out of the folder",
      (archive) =>
        Buffer.concat([
          archive.subarray(0, 1024),
          tarHeader({ name: "../../outside", sizeBytes: 1, modified: new Date(0) }),
          Buffer.from("x"),
          tarPadding(1),
          tarEnd,
        ]),
    ],
    [
      "a manifest of a later layout",
      (archive) => Buffer.from(archive.toString("latin1").replace('"format": 1', '"format": 9'), "latin1"),
    ],
  ];

  it.each(damaged)("when sent %s, is refused and changes nothing", async (_case, damage) => {
    const [from, to] = [openStore(temporaryFolder()), openStore(join(temporaryFolder(), "data"))];
    await fill(from, 2);
    await fill(to, 1);
    const before = contents(to);
    const archive = await whole(from.backup("1.0.0"));
    await expect(to.restore(inPieces(damage(archive)))).rejects.toMatchObject({
      code: "backup-unreadable",
      detail: expect.stringContaining("Nothing was changed"),
    });
    expect(contents(to)).toEqual(before);
    expect(passingFiles(to)).toEqual([]);
    expect(existsSync(join(to.dataDir, "..", "outside"))).toBe(false);
    from.close();
    to.close();
  });

  it("when it is of a newer version, says so", async () => {
    const newer = openStore(temporaryFolder(), {
      migrations: [...migrations, { number: 9999, name: "later", script: "CREATE TABLE later (id TEXT) STRICT" }],
    });
    const archive = await whole(newer.backup("9.0.0"));
    const store = openStore(temporaryFolder());
    await expect(store.restore(inPieces(archive))).rejects.toMatchObject({
      code: "backup-unreadable",
      detail: expect.stringContaining("newer version"),
    });
    newer.close();
    store.close();
  });

  it("when it is of an older schema, is migrated on the way in", async () => {
    const older = openStore(temporaryFolder(), { migrations: migrations.slice(0, 1) });
    const lamp = older.lamps.create({ name: "Old box", notes: "", kind: "other", archived: false });
    const archive = await whole(older.backup("0.1.0"));
    const store = openStore(temporaryFolder());
    await store.restore(inPieces(archive));
    expect(store.lamps.list()).toEqual([lamp]);
    await fill(store, 1);
    older.close();
    store.close();
  });
});

describe("backup over HTTP", () => {
  it("when taken and sent back, as body or as form, answers what was restored", async () => {
    const [source, target] = [testApp(), testApp()];
    await fill(source.store, 2);
    const taken = await request(source.app)
      .get("/api/backup")
      .buffer(true)
      .parse((response, done) => {
        const parts: Buffer[] = [];
        response.on("data", (part: Buffer) => parts.push(part));
        response.on("end", () => done(null, Buffer.concat(parts)));
      })
      .expect(200);
    expect(taken.headers["content-type"]).toBe("application/x-tar");
    expect(taken.headers["content-disposition"]).toMatch(/attachment; filename="?wedgewright-[\d-]+\.tar"?/);
    const asBody = await request(target.app)
      .post("/api/restore")
      .type("application/x-tar")
      .send(taken.body)
      .expect(200);
    expect(asBody.body).toMatchObject({ tests: 2, pictures: 2 });
    await fill(target.store, 1);
    const asForm = await request(target.app)
      .post("/api/restore")
      .attach("backup", taken.body as Buffer, "backup.tar")
      .expect(200);
    expect(asForm.body).toMatchObject({ tests: 2, pictures: 2 });
    expect(contents(target.store)).toEqual(contents(source.store));
    const refused = await request(target.app)
      .post("/api/restore")
      .attach("backup", Buffer.from("nonsense"), "backup.tar")
      .expect(400);
    expect(refused.body).toMatchObject({ code: "backup-unreadable", field: "backup" });
    await request(target.app).post("/api/restore").field("other", "x").expect(400);
    expect(contents(target.store)).toEqual(contents(source.store));
  });
});

function damagedAt(archive: Buffer, at: number, count = 1): Buffer {
  const copy = Buffer.from(archive);
  for (let i = at; i < at + count; i++) copy[i] = (copy[i] ?? 0) ^ 0xff;
  return copy;
}

function withoutPictures(archive: Buffer): Buffer {
  const firstPicture = archive.indexOf("pictures/");
  return Buffer.concat([archive.subarray(0, firstPicture), tarEnd]);
}
