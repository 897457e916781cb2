// Tone curves of the test's own: a power, and an S on the codes.
import { describe, expect, it } from "vitest";
import { linearFromSrgb, srgbFromLinear } from "#shared/density/srgb.ts";
import { toneMoves } from "#shared/reading/camera/unknown-tone.ts";

const paper = 0.7;
const seenBy = (curve: (code: number) => number, density: number): number =>
  Math.log10(
    linearFromSrgb(curve(srgbFromLinear(paper))) / linearFromSrgb(curve(srgbFromLinear(paper * 10 ** -density))),
  );
const movesAt = (density: number) => toneMoves({ light: paper * 10 ** -density, paper, sigma: 0.002 });

describe("how an unknown tone curve may move densities", () => {
  it("by contrast in proportion to them, and not at all at paper", () => {
    expect(movesAt(1)[0]! / movesAt(0.5)[0]!).toBeCloseTo(2, 10);
    expect([...movesAt(0)].every((move) => move === 0)).toBe(true);
  });

  it.each([0.3, 0.6, 0.9])("by a small S on the codes as such a camera does, at density %d", (density) => {
    const small = 0.003;
    const off = seenBy((code) => code + small * Math.sin(2 * Math.PI * (code - 0.5)), density) - density;
    // The S is told for a picture that was bent: the other way round.
    expect(-movesAt(density)[1]! * (small / 0.03)).toBeCloseTo(off, 2);
  });

  it("in the depths by no more than what is told as likely", () => {
    expect(Math.abs(movesAt(2)[1]!)).toBeLessThan(0.4);
  });
});
