import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { contactSheets } from "#shared/correction/layout/contact-sheet.ts";
import { troubleOf } from "../../../support/trouble-of.ts";

const film = { widthMm: 210, heightMm: 297, gapMm: 4 };

describe("contactSheets", () => {
  it("fills rows from the left in the pictures' order, and goes on below the tallest", () => {
    const sizes = [
      { widthMm: 90, heightMm: 60 },
      { widthMm: 90, heightMm: 90 },
      { widthMm: 90, heightMm: 60 },
    ];
    expect(contactSheets(sizes, film)).toEqual([
      [
        { index: 0, xMm: 5, yMm: 5 },
        { index: 1, xMm: 99, yMm: 5 },
        { index: 2, xMm: 5, yMm: 99 },
      ],
    ]);
  });

  it("never lays two pictures over each other or over the edge, loses none, and keeps the gap", () => {
    const size = fc.record({
      widthMm: fc.double({ min: 20, max: 200, noNaN: true }),
      heightMm: fc.double({ min: 20, max: 287, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(size, { minLength: 1, maxLength: 30 }), (sizes) => {
        const sheets = contactSheets(sizes, film);
        expect(sheets.flat().map(({ index }) => index)).toEqual(sizes.map((_, index) => index));
        for (const sheet of sheets) {
          const boxes = sheet.map(({ index, xMm, yMm }) => ({ x: xMm, y: yMm, ...sizes[index]! }));
          for (const [i, a] of boxes.entries()) {
            expect(Math.min(a.x, a.y)).toBeGreaterThanOrEqual(5);
            expect(a.x + a.widthMm).toBeLessThanOrEqual(film.widthMm - 5 + 1e-9);
            expect(a.y + a.heightMm).toBeLessThanOrEqual(film.heightMm - 5 + 1e-9);
            for (const b of boxes.slice(i + 1)) {
              const apart = Math.max(
                b.x - a.x - a.widthMm,
                a.x - b.x - b.widthMm,
                b.y - a.y - a.heightMm,
                a.y - b.y - b.heightMm,
              );
              expect(apart).toBeGreaterThanOrEqual(film.gapMm - 1e-9);
            }
          }
        }
      }),
    );
  });

  it("names the picture that is larger than the film", () => {
    const trouble = troubleOf(() =>
      contactSheets(
        [
          { widthMm: 50, heightMm: 50 },
          { widthMm: 230, heightMm: 50 },
        ],
        film,
      ),
    );
    expect(trouble).toMatchObject({ code: "picture-beyond-film", number: 2 });
  });
});
