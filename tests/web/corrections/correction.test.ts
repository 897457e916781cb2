import sharp from "sharp";
import request from "supertest";
import { describe, expect, it } from "vitest";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

const { app, store } = testApp();
const { id, materials } = await saveLevelsTest(store);
const pictureId = await savePicture(store, "another");
const codes = (body: { warnings: { code: string }[] }) => body.warnings.map(({ code }) => code);

describe("GET /api/tests/{id}/correction", () => {
  it("for a strip of levels, answers 256 rising levels, points, warnings and the calibration", async () => {
    const { body } = await request(app).get(`/api/tests/${id}/correction`).expect(200);
    expect(body.target).toBe("lightness");
    expect(body.levels).toHaveLength(256);
    expect([body.levels[0], body.levels[255]]).toEqual([0, 255]);
    expect(body.levels.every((level: number, index: number) => index === 0 || level >= body.levels[index - 1])).toBe(
      true,
    );
    expect(body.points.length).toBeLessThanOrEqual(14);
    expect(body.warnings).toEqual(expect.any(Array));
    expect(body.calibration).toMatchObject({
      testId: id,
      testName: "Strip on cotton, box 2",
      lamp: "Box",
      support: "Paper",
      coating: "Blue",
      film: "Clear film",
      exposureSeconds: 480,
    });
    const same = await request(app).get(`/api/tests/${id}/correction.json`).expect(200);
    expect(same.body).toEqual(body);
  });

  it("with 65536 levels, agrees with the 256", async () => {
    const short = await request(app).get(`/api/tests/${id}/correction`);
    const { body } = await request(app).get(`/api/tests/${id}/correction?levels=65536`).expect(200);
    expect(body.levels).toHaveLength(65_536);
    for (let level = 0; level < 256; level++) expect(body.levels[level * 257]).toBeCloseTo(short.body.levels[level], 3);
  });

  it("lists the points for a smooth tool as near as asked, on the page and in the answer", async () => {
    const query = "pointsTool=smooth&pointsWithin=2";
    const { body } = await request(app).get(`/api/tests/${id}/correction?${query}`).expect(200);
    expect(body.pointsTool).toBe("smooth");
    expect(body.pointsWithinLevels).toBeLessThanOrEqual(2);
    const { text } = await request(app).get(`/tests/${id}/correction?${query}`).expect(200);
    expect(text).toContain(`type these ${body.points.length} points. Where the tool draws a smooth line`);
    for (const { input, output } of body.points as { input: number; output: number }[])
      expect(text).toContain(`<td class="right">${input}</td><td class="right">${output}</td>`);
    await request(app).get(`/api/tests/${id}/correction?pointsWithin=0.2`).expect(400);
  });

  it("takes a target in L*, in density or as points, and refuses others in plain words", async () => {
    const [lightness, density, points] = await Promise.all(
      ["lightness", "density", "0:0,128:60,255:100"].map((target) =>
        request(app).get(`/api/tests/${id}/correction`).query({ target }).expect(200),
      ),
    );
    expect(density!.body.target).toBe("density");
    expect(points!.body.target).toBe("points");
    expect(density!.body.levels[128]).not.toBeCloseTo(lightness!.body.levels[128], 0);
    expect(points!.body.levels[128]).toBeGreaterThan(lightness!.body.levels[128]);
    for (const target of ["brightness", "0:0,x:3", "128:60,0:0", "0:50,255:20"]) {
      const { body } = await request(app).get(`/api/tests/${id}/correction`).query({ target }).expect(400);
      expect(body.detail).toMatch(/target/);
    }
    await request(app).get(`/api/tests/${id}/correction?levels=300`).expect(400);
  });

  it("when the next print uses other materials, says what that does to the curve", async () => {
    const other = {
      lampId: store.lamps.create({ name: "Other box", notes: "", kind: "led", archived: false }).id,
      filmId: store.films.create({ name: "Other film", notes: "", device: "Printer B", archived: false }).id,
    };
    const { body } = await request(app).get(`/api/tests/${id}/correction`).query(other).expect(200);
    expect(codes(body)).toEqual(expect.arrayContaining(["other-lamp", "other-film", "other-device"]));
    const same = await request(app).get(`/api/tests/${id}/correction`).query(materials).expect(200);
    expect(codes(same.body).filter((code) => code.startsWith("other-"))).toEqual([]);
    await request(app).get(`/api/tests/${id}/correction`).query({ lampId: "nosuchlamp" }).expect(404);
  });

  it("when the strip was printed without inversion, turns it round and says so", async () => {
    const upsideDown = await saveLevelsTest(store, { upsideDown: true });
    const { body } = await request(app).get(`/api/tests/${upsideDown.id}/correction`).expect(200);
    expect(codes(body)).toContain("strip-not-inverted");
    const straight = await request(app).get(`/api/tests/${id}/correction`);
    expect(body.levels).toEqual(straight.body.levels.map((level: number) => expect.closeTo(level, 5)));
  });

  it("for a test without grey levels, or an unknown one, says what to do", async () => {
    const tablet = store.transaction(() => store.tests.save(sampleTestRecord(saveSampleMaterials(store), pictureId)));
    const { body } = await request(app).get(`/api/tests/${tablet.id}/correction`).expect(409);
    expect(body.detail).toMatch(/wedge sheet or a strip of levels/);
    await request(app).get("/api/tests/nosuchtest/correction.csv").expect(404);
  });
});

describe("the files of a correction", () => {
  it("as CSV, has the table with a heading", async () => {
    const { body } = await request(app).get(`/api/tests/${id}/correction`);
    const { text, headers } = await request(app).get(`/api/tests/${id}/correction.csv`).expect(200);
    expect(headers["content-type"]).toMatch(/^text\/csv/);
    expect(headers["content-disposition"]).toContain("correction-Strip-on-cotton-box-2.csv");
    const rows = text
      .trim()
      .split("\r\n")
      .map((line) => line.split(","));
    expect(rows).toHaveLength(257);
    rows.slice(1).forEach(([wanted, sent], index) => {
      expect(Number(wanted)).toBe(index);
      expect(Number(sent)).toBeCloseTo(body.levels[index], 5);
    });
  });

  it("as CGATS.17, has the curve and then the measured tones, every private word announced", async () => {
    const { body } = await request(app).get(`/api/tests/${id}/correction`);
    const { text } = await request(app)
      .get(`/api/tests/${id}/correction.txt`)
      .expect(200)
      .expect("Content-Type", /text\/plain/);
    expect(text.startsWith("CGATS.17\n")).toBe(true);
    const tables = [
      ...text.matchAll(
        // The four parts of a table: fields, their names, sets, the sets themselves.
        new RegExp(
          "NUMBER_OF_FIELDS (\\d+)\nBEGIN_DATA_FORMAT\n(.*)\nEND_DATA_FORMAT\n" +
            "NUMBER_OF_SETS (\\d+)\nBEGIN_DATA\n([^]*?)\nEND_DATA",
          "g",
        ),
      ),
    ];
    expect(tables).toHaveLength(2);
    for (const [, fieldCount, fields, setCount, data] of tables) {
      expect(fields!.split("\t")).toHaveLength(Number(fieldCount));
      expect(data!.split("\n")).toHaveLength(Number(setCount));
      for (const line of data!.split("\n")) expect(line.split("\t")).toHaveLength(Number(fieldCount));
    }
    expect(tables[0]![4]!.split("\n").map((line) => Number(line.split("\t")[2]))).toEqual(
      body.levels.map((level: number) => expect.closeTo(level, 4)),
    );
    expect(tables[1]![3]).toBe("32");
    for (const own of ["LEVEL_WANTED", "LEVEL_TO_SEND", "LEVEL_SENT", "STDEV_D", "TEST_ID"])
      expect(text).toContain(`KEYWORD "${own}"`);
  });

  it("as PNG, is the table as 256 by 1 grey pixels of 16 bits", async () => {
    const { body } = await request(app).get(`/api/tests/${id}/correction`);
    const answer = await request(app)
      .get(`/api/tests/${id}/correction.png`)
      .expect(200)
      .expect("Content-Type", "image/png");
    const { width, height, depth, channels } = await sharp(answer.body).metadata();
    expect({ width, height, depth, channels }).toEqual({ width: 256, height: 1, depth: "ushort", channels: 1 });
    const raw = await sharp(answer.body).toColourspace("grey16").raw({ depth: "ushort" }).toBuffer();
    const values = new Uint16Array(raw.buffer, raw.byteOffset, 256);
    values.forEach((value, index) => expect(value / 257).toBeCloseTo(body.levels[index], 1));
  });
});
