// Pictures, truth files and scenes of the invented studio belong together.
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { renderScene, sceneTruth } from "../../samples/render/render-scene.ts";
import type { Truth } from "../../samples/render/scene.ts";
import { renderBed } from "../../samples/render/tablets-on-bed.ts";
import { bedScene, readStudio, studioScene } from "../../samples/studio.ts";

const folder = new URL("../../samples/pictures/", import.meta.url);
const studio = readStudio();
const pictureLimitBytes = 1_500_000;
const folderLimitBytes = 8_000_000;

describe("the invented studio", () => {
  it("when its parts are listed, every name and the note say that it is invented or a sample", () => {
    expect(studio.note).toMatch(/invented/);
    expect(studio.name).toMatch(/invented/);
    for (const material of [...studio.lamps, ...studio.supports, ...studio.coatings, ...studio.films])
      expect(material.name).toMatch(/\(sample\)$/);
  });

  it("when its tests name materials, those are its own", () => {
    const ids = (list: readonly { id: string }[]): string[] => list.map((item) => item.id);
    for (const test of studio.tests) {
      expect(ids(studio.lamps)).toContain(test.lampId);
      expect(ids(studio.supports)).toContain(test.supportId);
      expect(ids(studio.coatings)).toContain(test.coatingId);
      expect(ids(studio.films)).toContain(test.filmId);
    }
  });

  it("when its pictures are weighed, each stays under 1.5 MB and all under 8 MB", () => {
    const sizes = readdirSync(folder).map((name) => statSync(new URL(name, folder)).size);
    expect(sizes.length).toBe(studio.tests.length * 2);
    expect(Math.max(...sizes)).toBeLessThan(pictureLimitBytes);
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(folderLimitBytes);
  });

  it.each(studio.tests)(
    "when $key is rendered again, picture and truth are those kept beside each other",
    async (test) => {
      const file = new URL(`${test.key}.jpg`, folder);
      expect(existsSync(file)).toBe(true);
      const picture = readFileSync(file);
      const kept = JSON.parse(readFileSync(new URL(`${test.key}.truth.json`, folder), "utf8")) as Truth & {
        pictureSha256: string;
      };
      expect(createHash("sha256").update(picture).digest("hex")).toBe(kept.pictureSha256);

      const truth = sceneTruth(studioScene(test));
      expect(kept.exposureSeconds).toBe(test.exposureSeconds);
      expect(kept.shoulderSeconds).toBeCloseTo(truth.shoulderSeconds, 4);
      expect(kept.steps.map((step) => step.input)).toEqual(truth.steps.map((step) => step.input));
      kept.steps.forEach((step, index) => expect(step.redPrinted).toBeCloseTo(truth.steps[index]!.redPrinted!, 6));
      kept.corners.forEach((corner, index) =>
        expect(Math.hypot(corner[0] - truth.corners[index]![0], corner[1] - truth.corners[index]![1])).toBeLessThan(
          1e-6,
        ),
      );
      const { width, height, orientation = 1 } = await sharp(picture).metadata();
      expect(orientation > 4 ? [height, width] : [width, height]).toEqual([truth.picture.width, truth.picture.height]);
    },
  );

  it("when the bed of five tablets is rendered again, picture and truth are those kept beside each other", () => {
    const beds = new URL("../../samples/beds/", import.meta.url);
    const kept = JSON.parse(readFileSync(new URL("five-tablets.truth.json", beds), "utf8")) as {
      note: string;
      pictureSha256: string;
      worstToBestStops: number;
      tablets: { stops: number; corners: [number, number][] }[];
    };
    expect(kept.note).toMatch(/^Invented/);
    expect(
      createHash("sha256")
        .update(readFileSync(new URL("five-tablets.jpg", beds)))
        .digest("hex"),
    ).toBe(kept.pictureSha256);
    const truth = renderBed(bedScene());
    expect(kept.worstToBestStops).toBeCloseTo(truth.worstToBestStops, 9);
    kept.tablets.forEach(({ stops, corners }, i) => {
      expect(stops).toBeCloseTo(truth.stops[i]!, 9);
      corners.forEach(([x, y], corner) =>
        expect(Math.hypot(x - truth.corners[i]![corner]![0], y - truth.corners[i]![corner]![1])).toBeLessThan(1e-6),
      );
    });
  });

  it("when the strip of grey levels is rendered again, it has the kept picture's pixels but for JPEG", async () => {
    const test = studio.tests.find(({ key }) => key === "grey-levels")!;
    const rendered = renderScene(studioScene(test));
    const { data } = await sharp(readFileSync(new URL("grey-levels.jpg", folder)))
      .raw()
      .toBuffer({ resolveWithObject: true });
    let sum = 0;
    for (let index = 0; index < data.length; index++) sum += Math.abs(data[index]! - rendered.pixels[index]!);
    expect(sum / data.length).toBeLessThan(3);
  });
});
