import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Reading } from "#shared/schema/reading.ts";
import { decodePicture } from "#src/imaging/decode/decode.ts";
import { KeptRasters, inSharedMemory } from "#src/imaging/decode/kept-rasters.ts";
import { measureReading } from "#src/imaging/measure-reading.ts";
import { createImagingPool } from "#src/imaging/pool.ts";
import { rootDir } from "#src/settings.ts";
import { blueprintDensities, stripFile } from "../../support/pictures/strip-picture.ts";

const workerFile = join(rootDir, ".build", "imaging-worker.mjs");
const tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
const corners: Reading["location"]["corners"] = [
  [50, 60],
  [470, 60],
  [470, 140],
  [50, 140],
];
const request = { tablet, corners };
const picture = await stripFile({ width: 520, height: 200, corners, densities: blueprintDensities });
const decoded = inSharedMemory(await decodePicture(picture));
/** Bytes of one kept picture: three channels of eight bits, and one table of 256 numbers for each. */
const pictureBytes = 520 * 200 * 3 + 3 * 256 * 4;

describe("KeptRasters", () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  it("when more is kept than there is room for, drops what was not measured for longest", () => {
    const kept = new KeptRasters({ mostBytes: 2.5 * pictureBytes });
    kept.keep("a", decoded);
    kept.keep("b", decoded);
    expect(kept.find("a")).toBe(decoded);
    kept.keep("c", decoded);
    expect([kept.find("a"), kept.find("b"), kept.find("c")]).toEqual([decoded, undefined, decoded]);
    for (let i = 0; i < 100; i++) {
      kept.keep(`more ${i}`, decoded);
      expect(kept.bytes).toBe(2 * pictureBytes);
    }
  });

  it("when one name is kept again and again, counts it once", () => {
    const kept = new KeptRasters({ mostBytes: 10 * pictureBytes });
    for (let i = 0; i < 5; i++) kept.keep("a", decoded);
    expect(kept.bytes).toBe(pictureBytes);
  });

  it("when a picture is larger than all the room, keeps the others", () => {
    const kept = new KeptRasters({ mostBytes: 1.5 * pictureBytes });
    kept.keep("a", decoded);
    const { raster } = decoded;
    kept.keep("large", { ...decoded, raster: { ...raster, data: new Uint8Array(2 * pictureBytes) } });
    expect([kept.find("a"), kept.find("large"), kept.bytes]).toEqual([decoded, undefined, pictureBytes]);
  });

  it("when nobody measures a picture for a while, lets it go; measuring it gives it time anew", () => {
    const kept = new KeptRasters({ seconds: 10 });
    kept.keep("a", decoded);
    vi.advanceTimersByTime(9000);
    expect(kept.find("a")).toBe(decoded);
    vi.advanceTimersByTime(9000);
    expect(kept.bytes).toBe(pictureBytes);
    vi.advanceTimersByTime(1000);
    expect([kept.find("a"), kept.bytes]).toEqual([undefined, 0]);
  });
});

describe("measuring a kept picture", () => {
  /** A file that no decoder can read: a reading of it shows that none was asked. */
  const unreadable = Uint8Array.of(1, 2, 3);

  it("when it was decoded before, by any worker, decodes it no more and gives the same reading", async () => {
    const pool = createImagingPool({ workerFile, threads: 2 });
    try {
      const first = await pool.run("measure-reading", { picture, request }, { keepAs: "its hash" });
      expect(first).toEqual(await measureReading({ picture, request }));
      const both = await Promise.all(
        [0, 1].map(() => pool.run("measure-reading", { picture: unreadable, request }, { keepAs: "its hash" })),
      );
      expect(both).toEqual([first, first]);
    } finally {
      await pool.close();
    }
  });

  it("when another picture is asked for, or the name was not given, decodes the file that came", async () => {
    const pool = createImagingPool({ workerFile, threads: 1 });
    try {
      await pool.run("measure-reading", { picture, request }, { keepAs: "its hash" });
      await expect(
        pool.run("measure-reading", { picture: unreadable, request }, { keepAs: "another hash" }),
      ).rejects.toMatchObject({ code: "not-a-picture" });
      await expect(pool.run("measure-reading", { picture: unreadable, request })).rejects.toMatchObject({
        code: "not-a-picture",
      });
    } finally {
      await pool.close();
    }
  });
});
