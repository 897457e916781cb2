import { describe, expect, it } from "vitest";
import { stripCutout } from "#src/web/tests/strip-cutout.ts";
import type { Reading } from "#shared/schema/reading.ts";

/**
 * A strip of ten steps, 1000 by 100 pixels, about (2000, 1500), turned by `degrees` clockwise as seen on the screen.
 */
function turnedStrip(degrees: number): Pick<Reading, "location" | "image" | "steps"> {
  const angle = (degrees * Math.PI) / 180;
  const at = (along: number, across: number): [number, number] => [
    2000 + along * Math.cos(angle) - across * Math.sin(angle),
    1500 + along * Math.sin(angle) + across * Math.cos(angle),
  ];
  return {
    image: { width: 4000, height: 3000, bitsPerChannel: 8, profile: "sRGB" },
    location: { method: "given", confidence: 1, corners: [at(-500, -50), at(500, -50), at(500, 50), at(-500, 50)] },
    steps: [],
  };
}

describe("stripCutout", () => {
  it.each([0, 33, 90, 181, 270])(
    "of a strip turned by %d°, shows it level and reading from left to right",
    (degrees) => {
      const strip = stripCutout("p", turnedStrip(degrees));
      const [x = NaN, y = NaN, width = NaN, height = NaN] = (strip?.viewBox ?? "").split(" ").map(Number);
      expect(width).toBeCloseTo(1070, 0);
      expect(height).toBeCloseTo(170, 0);
      expect(x + width / 2).toBeCloseTo(2000, 0);
      expect(y + height / 2).toBeCloseTo(1500, 0);
      const back = Number(/rotate\((\S+)/.exec(strip?.transform ?? "")?.[1]);
      expect(Math.cos(((back + degrees) * Math.PI) / 180)).toBeCloseTo(1, 5);
    },
  );

  it("of a block about as high as wide, shows nothing by itself", () => {
    const block = turnedStrip(0);
    const corners: Reading["location"]["corners"] = [
      [0, 0],
      [1000, 0],
      [1000, 900],
      [0, 900],
    ];
    expect(stripCutout("p", { ...block, location: { ...block.location, corners } })).toBeNull();
  });
});
