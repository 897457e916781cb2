import { describe, expect, it } from "vitest";
import { sheetVeil, type SquareBeyond } from "#shared/reading/sheet-veil.ts";
import { blueFromRedDensity } from "../../bench/closed-loop/studio.ts";

/** A square of bare paper beside a sheet whose white has this red density. */
const paperBeside = (veil: number, light = 0): SquareBeyond => {
  const [red, green, blue] = blueFromRedDensity(veil).map((channel) => -Math.log10(channel)) as [
    number,
    number,
    number,
  ];
  const luminance = -Math.log10(0.2126 * 10 ** -red + 0.7152 * 10 ** -green + 0.0722 * 10 ** -blue);
  return { red: red + light, blue: blue + light, luminance: luminance + light };
};
const coating: SquareBeyond = { red: -0.9, blue: -0.3, luminance: -0.6 };
const many = (square: SquareBeyond, count: number): SquareBeyond[] => Array.from({ length: count }, () => square);

describe("sheetVeil", () => {
  it.each([0, 0.05, 0.17, 0.4])("beside bare paper, gives a veil of %s", (veil) => {
    const found = sheetVeil([...many(paperBeside(veil), 30), ...many(coating, 40)]);
    expect(found?.red).toBeCloseTo(veil, 6);
  });

  it("beside coating alone, or too few squares, tells nothing", () => {
    expect(sheetVeil(many(coating, 60))).toBeNull();
    expect(sheetVeil([...many(paperBeside(0.1), 3), ...many(coating, 60)])).toBeNull();
  });

  it("takes no whiter lid of a scanner for the print's paper: it is lighter in all colours alike", () => {
    expect(sheetVeil(many({ red: 0.08, blue: 0.1, luminance: 0.08 }, 50))).toBeNull();
  });

  it("beside paper in uneven light, keeps the veil of the greater part", () => {
    const rim = [-0.006, -0.003, 0, 0.003, 0.006].flatMap((light) => many(paperBeside(0.2, light), 8));
    expect(sheetVeil(rim)?.red).toBeCloseTo(0.2, 2);
  });
});
