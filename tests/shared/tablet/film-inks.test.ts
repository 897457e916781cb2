import { describe, expect, it } from "vitest";
import { filmInks, inkAmounts, inkFromText, inkMask, inksOfMask, inkText, sentInk } from "#shared/tablet/film-inks.ts";
import { parseSheetCode, sheetCodeText } from "#shared/tablet/wedge-sheet-code.ts";

describe("the inks of a sheet", () => {
  it("go into the sheet's code and come back", () => {
    for (const names of [["black"], ["yellow", "black", "moss"], filmInks.map(({ name }) => name)] as const) {
      const mask = inkMask(names);
      const options = { levels: names.length * 6, replicates: 3, widthMm: 160 };
      const code = { version: 1, options, correctionMark: null, inkMask: mask };
      expect(parseSheetCode(sheetCodeText(code))).toEqual(code);
      expect([...inksOfMask(mask)].sort()).toEqual([...names].sort());
    }
  });

  it("share the levels evenly, each from none to all; levels that do not divide are no ink sheet", () => {
    const amounts = inkAmounts(inkMask(["black", "green"]), { levels: 10 }) ?? [];
    expect(amounts.filter(({ ink }) => ink === "green").map(({ amount }) => amount)).toEqual([0, 0.25, 0.5, 0.75, 1]);
    expect(inkAmounts(inkMask(["black", "green"]), { levels: 11 })).toBeNull();
    expect(parseSheetCode("WEDGEWRIGHT 1/11/4/160/INK:5")).toBeNull();
  });

  it("run straight from clear film to the ink, and are written as six digits", () => {
    expect(sentInk(inkFromText("#00FF10"), 0.5)).toEqual({ red: 128, green: 255, blue: 136 });
    expect(sentInk({ red: 0, green: 0, blue: 0 }, 0)).toEqual({ red: 255, green: 255, blue: 255 });
    expect(inkText(inkFromText("00ff10"))).toBe("00ff10");
  });
});
