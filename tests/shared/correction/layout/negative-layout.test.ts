import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { negativeLayout, wantedPages } from "#shared/correction/layout/negative-layout.ts";
import { pixelsOf } from "#shared/correction/picture-size.ts";
import { contrastedShare, negativeToneTable } from "#shared/correction/negative-tone.ts";
import { negativeRequestSchema } from "#shared/schema/negative.ts";
import { troubleOf } from "../../../support/trouble-of.ts";

const requestWith = (changes: object) => negativeRequestSchema.parse({ testId: "t", widthMm: 100, ...changes });
const identity = Float64Array.from({ length: 65_536 }, (_, code) => code / 257);

describe("negative layout", () => {
  it("without margins or film, is the picture alone at its true size", () => {
    const { pages, widthPx, heightPx } = negativeLayout(requestWith({ dpi: 300 }), { width: 3000, height: 2000 });
    expect([widthPx, heightPx]).toEqual([1181, 787]);
    expect(pages).toHaveLength(1);
    expect(pages[0]).toMatchObject({ widthPx: 1181, heightPx: 787, left: 0, top: 0, caption: null, marks: [] });
  });

  it("with margins, marks and caption, makes room for them", () => {
    const { pages } = negativeLayout(requestWith({ dpi: 300, marginMm: 3, registrationMarks: true, caption: true }), {
      width: 3000,
      height: 2000,
    });
    const margin = pixelsOf(6, 300);
    expect(pages[0]).toMatchObject({
      widthPx: 1181 + 2 * margin,
      heightPx: 787 + 2 * margin + pixelsOf(6, 300),
      left: margin,
    });
    for (const mark of pages[0]!.marks) {
      const besides =
        mark.x + mark.width <= margin ||
        mark.x >= margin + 1181 ||
        mark.y + mark.height <= margin ||
        mark.y >= margin + 787;
      expect(besides).toBe(true);
    }
  });

  it("for any picture and film, tiles fit the film, cover every pixel and overlap as asked", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 60, max: 1500 }),
        fc.integer({ min: 100, max: 400 }),
        fc.integer({ min: 100, max: 500 }),
        fc.integer({ min: 0, max: 20 }),
        fc.integer({ min: 0, max: 15 }),
        fc.boolean(),
        (widthMm, filmWidthMm, filmHeightMm, overlapMm, marginMm, caption) => {
          const request = requestWith({ dpi: 100, widthMm, filmWidthMm, filmHeightMm, overlapMm, marginMm, caption });
          const layout = negativeLayout(request, { width: 4000, height: 3000 });
          for (const page of layout.pages) {
            expect(page.widthPx).toBeLessThanOrEqual(pixelsOf(filmWidthMm, 100) + 1);
            expect(page.heightPx).toBeLessThanOrEqual(pixelsOf(filmHeightMm, 100) + 1);
          }
          const firstRow = layout.pages.filter((page) => page.row === 0);
          expect(firstRow[0]!.part.x).toBe(0);
          expect(firstRow.at(-1)!.part.x + firstRow.at(-1)!.part.width).toBe(layout.widthPx);
          for (let index = 1; index < firstRow.length; index++) {
            const shared = firstRow[index - 1]!.part.x + firstRow[index - 1]!.part.width - firstRow[index]!.part.x;
            expect(shared).toBeGreaterThanOrEqual(pixelsOf(overlapMm, 100) - 1);
          }
        },
      ),
      { seed: Number(process.env.FC_SEED ?? 20_260_501), numRuns: 60 },
    );
  });

  it("when the film has no room, or the negative is too large, refuses with what to change", () => {
    const refusal = (changes: object) =>
      troubleOf(() => negativeLayout(requestWith(changes), { width: 3000, height: 2000 }));
    expect(refusal({ filmWidthMm: 40, marginMm: 15, overlapMm: 10 })).toMatchObject({
      code: "negative-film-too-small",
      field: "filmWidthMm",
    });
    // 2000 mm at 1200 dots per inch are 94,488 dots, two thirds of that the other way: 5,952 million on one sheet.
    expect(refusal({ widthMm: 2000, dpi: 1200 })).toMatchObject({
      code: "negative-too-large",
      errorCode: "picture-too-large",
      field: "dpi",
      pixels: 94_488 * 62_992,
      sheets: 1,
    });
  });

  it("when several sheets are needed, a PNG asks for one of them and a PDF holds all", () => {
    const request = requestWith({ filmWidthMm: 60, filmHeightMm: 60 });
    const layout = negativeLayout(request, { width: 3000, height: 2000 });
    expect(layout.pages.length).toBeGreaterThan(1);
    const sheets = layout.pages.length;
    expect(troubleOf(() => wantedPages(layout, request))).toMatchObject({
      code: "picture-file-holds-one-sheet",
      sheets,
    });
    expect(wantedPages(layout, { ...request, format: "pdf" })).toHaveLength(layout.pages.length);
    expect(wantedPages(layout, { ...request, tile: 2 })).toEqual([layout.pages[1]]);
    expect(troubleOf(() => wantedPages(layout, { ...request, tile: 99 }))).toMatchObject({
      code: "no-such-sheet",
      sheets,
    });
  });
});

describe("negative tone", () => {
  it("without contrast, is the correction turned over, in 1/256 of a level", () => {
    const table = negativeToneTable({ correction: identity, contrast: 0, invert: true });
    expect([table[0], table[65_535], table[257 * 100]]).toEqual([255 * 256, 0, 155 * 256]);
    expect(negativeToneTable({ correction: identity, contrast: 0, invert: false })[257 * 100]).toBe(100 * 256);
  });

  it("with any contrast, keeps the ends and never falls; the middle is steeper by what was asked", () => {
    for (const contrast of [-50, -20, 30, 50]) {
      expect(contrastedShare(0, contrast)).toBe(0);
      expect(contrastedShare(1, contrast)).toBeCloseTo(1, 12);
      expect((contrastedShare(0.5001, contrast) - contrastedShare(0.4999, contrast)) / 0.0002).toBeCloseTo(
        1 + contrast / 100,
        4,
      );
      const table = negativeToneTable({ correction: identity, contrast, invert: false });
      expect(table.every((value, index) => index === 0 || value >= table[index - 1]!)).toBe(true);
    }
  });
});
