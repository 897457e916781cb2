import { describe, expect, it } from "vitest";
import {
  correctionMark,
  keptCurveMark,
  parseSheetCode,
  sheetCodeText,
  type SheetCode,
} from "#shared/tablet/wedge-sheet-code.ts";
import { sheetLayout } from "#shared/tablet/wedge-sheet-layout.ts";
import { sheetPage } from "#shared/tablet/wedge-sheet-page.ts";
import { troubleOf } from "../../support/trouble-of.ts";

describe("the sheet's code", () => {
  it("written and read again, says the same", () => {
    const codes: SheetCode[] = [
      { version: 1, options: { levels: 41, replicates: 4, widthMm: 160 }, correctionMark: null, inkMask: null },
      {
        version: 1,
        options: { levels: 128, replicates: 8, widthMm: 152.5 },
        correctionMark: correctionMark("0f3a-99bc-11"),
        inkMask: null,
      },
      {
        version: 1,
        options: { levels: 41, replicates: 4, widthMm: 160 },
        correctionMark: correctionMark("0f3a-99bc-11", "density"),
        inkMask: null,
      },
    ];
    codes.push({ ...codes[0]!, correctionMark: keptCurveMark("7c1e-22d0-93") });
    for (const code of codes) expect(parseSheetCode(sheetCodeText(code))).toEqual(code);
  });

  it("uses only the characters of the small code alphabet (ISO/IEC 18004, alphanumeric mode)", () => {
    expect(
      sheetCodeText({
        version: 1,
        options: { levels: 41, replicates: 4, widthMm: 152.5 },
        correctionMark: correctionMark("ab-cd_ef9012"),
        inkMask: null,
      }),
    ).toMatch(/^[0-9A-Z $%*+\-./:]+$/);
  });

  it("of something else, is not taken for ours", () => {
    for (const text of [
      "",
      "https://example.org",
      "WEDGEWRIGHT",
      "WEDGEWRIGHT 1/41/4",
      "WEDGEWRIGHT 1/4/4/160",
      "WEDGEWRIGHT 1/41/9/160",
      "WEDGEWRIGHT 0/41/4/160",
    ])
      expect(parseSheetCode(text)).toBeNull();
  });

  it("of a newer layout, is refused in plain words", () => {
    expect(troubleOf(() => parseSheetCode("WEDGEWRIGHT 2/41/4/160"))).toMatchObject({
      code: "newer-sheet-layout",
      layoutVersion: 2,
      knownVersion: 1,
    });
  });
});

describe("sheetPage", () => {
  it("on A4 and Letter film, leaves a window for a physical tablet beside the default sheet", () => {
    for (const paper of ["a4", "letter"] as const) {
      const page = sheetPage(sheetLayout(), paper);
      expect(page.tabletWindow?.heightMm).toBeGreaterThanOrEqual(30);
      expect((page.tabletWindow?.yMm ?? 0) + (page.tabletWindow?.heightMm ?? 0)).toBeLessThanOrEqual(page.heightMm - 5);
      expect(page.block.xMm).toBeGreaterThanOrEqual(5);
    }
  });

  it("when the block is too large for the film, refuses", () => {
    expect(troubleOf(() => sheetPage({ ...sheetLayout(), heightMm: 300 }, "letter"))).toMatchObject({
      code: "sheet-beyond-film",
      heightMm: 300,
      field: "widthMm",
    });
  });
});
