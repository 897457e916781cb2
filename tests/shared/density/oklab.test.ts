import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { linearSrgbFromOklch, oklchFromLinearSrgb } from "#shared/density/oklab.ts";
import { linearFromSrgb } from "#shared/density/srgb.ts";

const colours = ["#14407a", "#93bdf0", "#dfe8f1", "#8a3b12", "#1d5a3b", "#6b2f7d", "#777777"] as const;

type Triple = [number, number, number];
const linearOf = (hex: string): Triple => {
  const channel = (at: number): number => linearFromSrgb(Number.parseInt(hex.slice(at, at + 2), 16) / 255);
  return [channel(1), channel(3), channel(5)];
};

describe("oklchFromLinearSrgb", () => {
  it.each(colours)("of %s agrees with libvips within 0.0005", async (hex) => {
    const { lightness, chroma, hueDegrees } = oklchFromLinearSrgb(linearOf(hex));
    const hue = (hueDegrees * Math.PI) / 180;
    const pixel = await sharp({ create: { width: 1, height: 1, channels: 3, background: hex } })
      .toColourspace("oklab")
      .raw({ depth: "float" })
      .toBuffer();
    const [l = 0, a = 0, b = 0] = new Float32Array(new Uint8Array(pixel).buffer);
    for (const [ours, theirs] of [
      [lightness, l],
      [chroma * Math.cos(hue), a],
      [chroma * Math.sin(hue), b],
    ] as const)
      expect(Math.abs(ours - theirs)).toBeLessThan(0.0005);
  });

  // CSS Color Module Level 4 gives the primary blue of sRGB as oklch(45.2% 0.313 264.1).
  it("of sRGB's blue is what the CSS Color Module tells", () => {
    const { lightness, chroma, hueDegrees } = oklchFromLinearSrgb([0, 0, 1]);
    expect(lightness).toBeCloseTo(0.452, 3);
    expect(chroma).toBeCloseTo(0.313, 3);
    expect(hueDegrees).toBeCloseTo(264.1, 1);
  });
});

describe("linearSrgbFromOklch", () => {
  it.each(colours)("leads back to %s", (hex) => {
    const back = linearSrgbFromOklch(oklchFromLinearSrgb(linearOf(hex)));
    back.forEach((channel, i) => expect(channel).toBeCloseTo(linearOf(hex)[i] ?? Number.NaN, 5));
  });
});
