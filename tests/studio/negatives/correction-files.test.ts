// The tone curve of a test in open formats: every file holds the levels of the curve itself.
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { correctionOfTest, tonesOfLine } from "#src/studio/negatives/correct.ts";
import {
  correctionCgats,
  correctionCsv,
  correctionCube,
  correctionPng,
  correctionProfile,
} from "#src/studio/negatives/correction-files.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { saveTablet } from "../../support/studios/saved-tablets.ts";
import { testApp } from "../../support/test-app.ts";

async function made() {
  const { store } = testApp();
  const { id, materials } = await saveLevelsTest(store);
  return { store, materials, made: correctionOfTest({ store }, { testId: id, target: "lightness" }) };
}

describe("correctionOfTest", () => {
  it("rises from 0 to 255, names what it was measured with, and says what the next print changes", async () => {
    const { store, materials, made: before } = await made();
    const { levels } = before.correction;
    expect([levels[0], levels[255]]).toEqual([0, 255]);
    expect(levels.every((level, i) => i === 0 || level >= levels[i - 1]!)).toBe(true);
    expect(before.calibration).toMatchObject({ lamp: "Box", support: "Paper", coating: "Blue" });
    const other = store.lamps.create({ name: "Other", notes: "", kind: "tubes", archived: false }).id;
    const { correction } = correctionOfTest(
      { store },
      { testId: before.test.id, target: "lightness", use: { lampId: other, supportId: materials.supportId } },
    );
    const changed = correction.warnings.filter(({ code }) => code.startsWith("other-"));
    expect(changed.map(({ code }) => code)).toEqual(["other-lamp"]);
  });

  it("when a test has no grey levels, says what to print instead", async () => {
    const { store } = testApp();
    const testId = saveTablet(store, saveSampleMaterials(store), await savePicture(store));
    expect(() => correctionOfTest({ store }, { testId, target: "lightness" })).toThrow(
      expect.objectContaining({ code: "no-correction", detail: expect.stringContaining("wedge sheet") }),
    );
  });
});

describe("tonesOfLine", () => {
  it("of a first strip, is its own tones, printed through nothing", async () => {
    const { made: found, store } = await made();
    const { test } = found;
    const { tones, through } = tonesOfLine(store, [test]);
    expect(through).toBeNull();
    expect(tones.map(({ level }) => level)).toEqual(test.reading.steps.map(({ input }) => input));
  });
});

describe("files of a correction", () => {
  it("CSV and CGATS hold every wanted level with the level to send", async () => {
    const each = (await made()).made;
    const { levels } = each.correction;
    const rows = correctionCsv(levels).trim().split("\r\n").slice(1);
    expect(rows).toHaveLength(256);
    rows.forEach((row, index) => {
      const [wanted, sent] = row.split(",").map(Number);
      expect(wanted).toBe(index);
      expect(sent).toBeCloseTo(levels[index]!, 5);
    });
    const text = correctionCgats(each, levels);
    expect(text.match(/^NUMBER_OF_SETS (\d+)$/gm)).toEqual(["NUMBER_OF_SETS 256", "NUMBER_OF_SETS 32"]);
    expect(text).toContain('TEST_NAME "Strip on cotton, box 2"');
    expect(text).not.toContain("Invented");
    const invented = { ...each, calibration: { ...each.calibration, invented: true } };
    expect(correctionCgats(invented, levels).match(/Invented demo data/g)).toHaveLength(2);
  });

  it("the cube form holds as many rows as it says, from 0 to 1", async () => {
    const each = (await made()).made;
    const text = correctionCube(each, each.correction.levels);
    expect(text).toMatch(/^LUT_1D_SIZE 256$/m);
    const rows = text.split(/\r?\n/).filter((line) => /^[\d.]+ [\d.]+ [\d.]+$/.test(line));
    expect(rows).toHaveLength(256);
    rows.forEach((row, index) => {
      for (const value of row.split(" ")) expect(Number(value) * 255).toBeCloseTo(each.correction.levels[index]!, 2);
    });
  });

  it("the picture is one row of 256 greys; the profile is a device link of the grey or colour kind", async () => {
    const each = (await made()).made;
    expect(await sharp(correctionPng(each)).metadata()).toMatchObject({ width: 256, height: 1, depth: "ushort" });
    // ICC.1 clause 7.2: device class at byte 12, data colour space at 16.
    const classOf = (space: "grey" | "rgb"): string =>
      Buffer.from(correctionProfile(each, space)).toString("latin1", 12, 20);
    expect([classOf("grey"), classOf("rgb")]).toEqual(["linkGRAY", "linkRGB "]);
  });
});
