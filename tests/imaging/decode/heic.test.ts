// A HEIC picture of the tests' own strip, written by libheif's example encoder (heif-enc 1.15, quality 92, 4:2:0): the
// strip of 500 x 140 pixels carried into Display P3 by LittleCMS, with that profile.
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { MeasuredReading } from "#shared/reading/reading-facts.ts";
import type { Corners } from "#shared/schema/reading.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { makePreview } from "#src/imaging/decode/preview.ts";
import { heicGrid } from "../../support/pictures/heic-grid.ts";
import { withNamedColours, withQuarterTurns } from "../../support/pictures/heic-boxes.ts";
import { blueprintDensities } from "../../support/pictures/strip-picture.ts";

const corners: Corners = [
  [40, 40],
  [460, 40],
  [460, 100],
  [40, 100],
];
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const strip = readFileSync(new URL("./pictures/strip-display-p3.heic", import.meta.url));
const rms = (reading: MeasuredReading): number =>
  Math.sqrt(
    reading.steps.reduce((sum, step, i) => sum + (step.red - blueprintDensities[i]!) ** 2, 0) / reading.steps.length,
  );

describe("a HEIC picture", () => {
  it.each([
    ["a profile", strip],
    ["code points", withNamedColours(strip, { primaries: 12, transfer: 13 })],
  ])("whose colours are told by %s is read with them", async (_how, picture) => {
    const reading = await measureReading({ picture, request: { tablet, corners } });
    expect(reading.image).toMatchObject({ width: 500, height: 140, bitsPerChannel: 8 });
    expect(reading.warnings.map(({ code }) => code)).not.toContain("profile-missing");
    expect(rms(reading)).toBeLessThan(0.015);
  });

  it("matters: read as if it were sRGB the deep steps come out too pale, and the guess is said", async () => {
    const reading = await measureReading({ picture: strip, request: { tablet, corners } });
    const unknown = withNamedColours(strip, { primaries: 22, transfer: 13 });
    const assumed = await measureReading({ picture: unknown, request: { tablet, corners } });
    expect(assumed.warnings.map(({ code }) => code)).toContain("profile-missing");
    expect(reading.steps[0]!.red - assumed.steps[0]!.red).toBeGreaterThan(0.1);
  });

  it("that asks to be turned is read upright", async () => {
    const turned = withQuarterTurns(strip, 1);
    // A quarter turn counter-clockwise takes (x, y) to (y, 500 - x).
    const place = ([x, y]: readonly [number, number]): [number, number] => [y, 500 - x];
    const [a, b, c, d] = corners;
    const reading = await measureReading({
      picture: turned,
      request: { tablet, corners: [place(a), place(b), place(c), place(d)] },
    });
    expect(reading.image).toMatchObject({ width: 140, height: 500 });
    expect(rms(reading)).toBeLessThan(0.015);
    expect(await makePreview({ picture: turned, maxSidePx: 250 })).toMatchObject({
      fullWidth: 140,
      fullHeight: 500,
      width: 70,
      height: 250,
    });
  });

  it("in tiles, as phones write large ones, is read whole", async () => {
    const picture = heicGrid(strip, { tileWidth: 500, tileHeight: 140, rows: 3, columns: 2 });
    const inLastTile = corners.map(([x, y]): [number, number] => [x + 500, y + 280]);
    const [a, b, c, d] = inLastTile;
    const reading = await measureReading({ picture, request: { tablet, corners: [a!, b!, c!, d!] } });
    expect(reading.image).toMatchObject({ width: 1000, height: 420 });
    expect(rms(reading)).toBeLessThan(0.015);
  });

  it("of high dynamic range, cut short or of the AVIF kind is refused in plain words", async () => {
    const bright = withNamedColours(strip, { primaries: 9, transfer: 16 });
    const read = (picture: Buffer) => measureReading({ picture, request: { tablet, corners } });
    await expect(read(bright)).rejects.toMatchObject({ trouble: { code: "high-dynamic-range" } });
    const cut = strip.subarray(0, 2500);
    await expect(read(cut)).rejects.toMatchObject({ code: "not-a-picture", trouble: { code: "heic-damaged" } });
    const avif = Buffer.from(cut);
    avif.write("avif", 8, "latin1");
    await expect(read(avif)).rejects.toMatchObject({ trouble: { code: "avif" } });
  });

  it("that claims too many pixels is refused before it is decoded", async () => {
    const huge = Buffer.from(strip);
    const size = huge.indexOf("ispe", 0, "latin1");
    huge.writeUInt32BE(10_000, size + 8);
    huge.writeUInt32BE(10_000, size + 12);
    await expect(measureReading({ picture: huge, request: { tablet, corners } })).rejects.toMatchObject({
      code: "picture-too-large",
    });
  });
});
