// A tone table as a picture, read back by a general library.
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { tablePng } from "#src/output/png.ts";

describe("tablePng", () => {
  it("holds each level as a grey of sixteen bits, 255 as 65535", async () => {
    const levels = [0, 0.5, 1, 127.5, 254.25, 255];
    const { data, info } = await sharp(tablePng(levels))
      .toColourspace("grey16")
      .raw({ depth: "ushort" })
      .toBuffer({ resolveWithObject: true });
    expect([info.width, info.height, info.channels]).toEqual([levels.length, 1, 1]);
    const greys = levels.map((_, index) => data.readUInt16LE(2 * index));
    expect(greys).toEqual(levels.map((level) => Math.round(level * 257)));
  });
});
