// Several pictures through one curve. The drawing itself is made up here.
import { mkdtempSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { negativeRequestSchema, seriesRequestSchema } from "#shared/schema/negative.ts";
import { RowPacker } from "#src/imaging/negative/row-packer.ts";
import { keepCurve } from "#src/studio/negatives/keep-curve.ts";
import { curveOfNegative, drawingOf, fileOf, keepMadeNegative } from "#src/studio/negatives/make-negative.ts";
import { makeSeries } from "#src/studio/negatives/make-series.ts";
import { fakeImaging } from "../../support/fake-imaging.ts";
import { saveLevelsTest } from "../../support/studios/levels-test.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";
import { testApp } from "../../support/test-app.ts";

async function studio() {
  const packer = new RowPacker({ width: 20, height: 10, bits: 8, channels: 1 });
  for (let y = 0; y < 10; y++) await packer.row(new Uint8Array(20).fill(y));
  const drawn = {
    sheets: [{ picture: await packer.end(), filmMm: null }],
    rows: 1,
    columns: 1,
    widthPx: 787,
    heightPx: 10,
    warnings: [],
  };
  const captions: string[] = [];
  const imaging = fakeImaging({
    "draw-negative": (job) => {
      captions.push((job as { caption: string }).caption);
      return drawn;
    },
  });
  const { store } = testApp({ imaging });
  const { id } = await saveLevelsTest(store);
  return { store, imaging, id, drawn, captions };
}

describe("makeSeries", () => {
  it("draws every picture with its number and name, tells the share done, and keeps each with its curve", async () => {
    const { store, imaging, id, captions } = await studio();
    const shares: number[] = [];
    const file = await makeSeries(
      { store, imaging },
      {
        request: seriesRequestSchema.parse({ testId: id, widthMm: 100, dpi: 200, format: "png", caption: true }),
        pictures: [
          { file: "a", name: "boat.jpg" },
          { file: "b", name: "pier.jpg" },
        ],
        workFolder: mkdtempSync(join(temporaryFolder(), "work-")),
        onProgress: (share) => shares.push(share),
      },
    );
    expect(file.type).toBe("application/zip");
    expect(captions.map((caption) => caption.slice(0, 11))).toEqual(["1, boat.jpg", "2, pier.jpg"]);
    expect(shares.every((share) => share >= 0 && share <= 1)).toBe(true);
    const made = store.madeNegatives.list();
    expect(made.map(({ pictureName }) => pictureName).sort()).toEqual(["boat.jpg", "pier.jpg"]);
    expect(made[0]?.levels).toEqual(made[1]?.levels);
  });
});

describe("a negative through a kept curve", () => {
  it("goes through that curve, and is kept with it; one of another test is refused", async () => {
    const { store, id, drawn } = await studio();
    const kept = keepCurve({ store }, { testId: id, name: "Before the new ink", moves: [{ level: 128, byLevels: 9 }] });
    const request = negativeRequestSchema.parse({ testId: id, curveId: kept.id, widthMm: 100, dpi: 200 });
    const curve = curveOfNegative({ store }, request);
    expect(curve.correction.levels).toEqual(kept.levels);
    // Half way up the 16-bit greys lies level 127.5: between the two beside it, the film takes the rest, in 1/256.
    const { tone, strip } = drawingOf(curve, request);
    const wanted = 255 - ((kept.levels[127] ?? 0) + (kept.levels[128] ?? 0)) / 2;
    expect(Math.abs((tone[32_768] ?? 0) / 256 - wanted)).toBeLessThan(0.02);
    expect(strip).toEqual([]);
    const made = keepMadeNegative({ store }, { request, drawn, pictureName: "sea", levels: curve.correction.levels });
    expect(made.levels).toEqual(kept.levels);
    expect((await fileOf(drawn, request, "Negative")).type).toBe("image/png");
    const other = await saveLevelsTest(store);
    expect(() => curveOfNegative({ store }, { ...request, testId: other.id })).toThrow("kept curve");
  });
});
