import { describe, expect, it } from "vitest";
import { parseCoordinate } from "#shared/format/coordinate.ts";

describe("parseCoordinate", () => {
  it.each([
    ["48.85", 48.85],
    ["48,85", 48.85],
    ["-33.87", -33.87],
    ["−33.87", -33.87],
    ["48° 51' N", 48.85],
    ["48°51′24″N", 48 + 51 / 60 + 24 / 3600],
    ["48 51.4", 48 + 51.4 / 60],
    ["33° 52' S", -(33 + 52 / 60)],
    ["W 9.14", -9.14],
    ["9 08 24 w", -(9 + 8 / 60 + 24 / 3600)],
    ["0", 0],
  ])("reads %s", (text, degrees) => {
    expect(parseCoordinate(text)).toBeCloseTo(degrees, 9);
  });

  it.each(["north", "48 61", "48.5 30", "48 51 24 3", "N 48 S", "-33 S", "4x"])("does not guess at %s", (text) => {
    expect(parseCoordinate(text)).toBeNaN();
  });

  it("of an empty field, is nothing", () => {
    expect(parseCoordinate("  ")).toBeUndefined();
  });
});
