// Read back by a small reader written from the published description (CubeLut2013), not by the writer's own code.
import { describe, expect, it } from "vitest";
import { cubeLutText } from "#src/output/cube-lut.ts";

/** Keywords and rows: comments begin with "#", a row is three numbers, everything else is a keyword with its values. */
function readCube(text: string): { keywords: Map<string, string>; rows: number[][] } {
  const keywords = new Map<string, string>();
  const rows: number[][] = [];
  for (const line of text.split("\n")) {
    if (line === "" || line.startsWith("#")) continue;
    if (/^[-+.\d]/.test(line)) {
      rows.push(line.split(/[ \t]+/).map(Number));
      continue;
    }
    if (rows.length > 0) throw new Error("A keyword stands after the table.");
    const space = line.indexOf(" ");
    keywords.set(line.slice(0, space), line.slice(space + 1));
  }
  return { keywords, rows };
}

describe("cubeLutText", () => {
  const values = Array.from({ length: 256 }, (_, index) => (index / 255) ** 1.7);
  const { keywords, rows } = readCube(
    cubeLutText({ title: 'Sheet "one"\nof May', remarks: ["Positive before turning\ninto a negative"], values }),
  );

  it("names its size, its domain and a title of one line", () => {
    expect(keywords.get("LUT_1D_SIZE")).toBe("256");
    expect(keywords.get("DOMAIN_MIN")).toBe("0.0 0.0 0.0");
    expect(keywords.get("DOMAIN_MAX")).toBe("1.0 1.0 1.0");
    expect(keywords.get("TITLE")).toMatch(/^"[^"]*"$/);
  });

  it("holds a row of three equal numbers for each value, to a millionth", () => {
    expect(rows).toHaveLength(256);
    rows.forEach(([red = NaN, green, blue], index) => {
      expect(Math.abs(red - (values[index] ?? NaN))).toBeLessThan(1e-6);
      expect([green, blue]).toEqual([red, red]);
    });
  });

  it("refuses tables that the form does not know", () => {
    expect(() => cubeLutText({ title: "", remarks: [], values: [0] })).toThrow(RangeError);
    expect(() => cubeLutText({ title: "", remarks: [], values: [0, 1.1] })).toThrow(RangeError);
    expect(() => cubeLutText({ title: "", remarks: [], values: [0, Number.NaN] })).toThrow(RangeError);
  });
});
