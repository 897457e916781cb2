// Which colours can be blue print.
import { describe, expect, it } from "vitest";
import { linearFromSrgb } from "#shared/density/srgb.ts";
import { printColour } from "#src/imaging/find/print-colour.ts";

type Rgb = readonly [number, number, number];

/** Blocks of one row: mostly paper, then the colours asked for. */
function sharesOf(paper: Rgb, colours: readonly Rgb[]): number[] {
  const all = [...Array.from({ length: 20 }, () => paper), ...colours];
  const channel = (c: 0 | 1 | 2) => Float32Array.from(all, (rgb) => rgb[c]);
  const blocks = { columns: all.length, rows: 1, sidePx: 8, red: channel(0), green: channel(1), blue: channel(2) };
  return Array.from(printColour(blocks).share.subarray(20));
}

const white: Rgb = [0.8, 0.8, 0.8];
const warm: Rgb = [0.8, 0.76, 0.66];
const fromHex = (hex: string): Rgb => {
  const code = (at: number) => linearFromSrgb(Number.parseInt(hex.slice(at, at + 2), 16) / 255);
  return [code(0), code(2), code(4)];
};

describe("what can be blue print by its colour", () => {
  it("is the pigment's own blue, as colour names give it, deep and thinned with white", () => {
    // Prussian blue, #003153 in lists of colour names.
    const deep = fromHex("003153");
    const thinned = deep.map((light) => 0.5 * light + 0.4) as unknown as Rgb;
    expect(sharesOf(white, [deep, thinned, white])).toEqual([1, 1, 1]);
  });

  it.each([
    ["white", white],
    ["warm", warm],
  ] as const)("is not a green or teal cutting mat under %s paper, nor its lines", (_, paper) => {
    const seen = (mat: Rgb): Rgb => [mat[0] * paper[0], mat[1] * paper[1], mat[2] * paper[2]];
    const mats: Rgb[] = [
      [0.04, 0.19, 0.13],
      [0.03, 0.14, 0.125],
      [0.3, 0.4, 0.33],
    ];
    for (const share of sharesOf(paper, mats.map(seen))) expect(share).toBeLessThan(0.35);
  });
});
