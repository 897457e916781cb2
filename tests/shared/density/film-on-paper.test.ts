import { describe, expect, it } from "vitest";
import { deepestFilmOnPaper, filmOnPaper } from "#shared/density/film-on-paper.ts";
import { densityOverPaper } from "../../support/film-over-paper.ts";

describe("a film on white paper", () => {
  const rows = [0.04, 0.1, 0.2, 0.35, 0.5, 0.6].flatMap((density) =>
    ([30, 45, 50, "sky"] as const).map((light) => [density, light] as const),
  );
  it.each(rows)("of density %d in light from %s looks as dark as light followed through it says", (density, light) => {
    for (const paper of [0.8, 0.9]) {
      const { density: seen, errors } = filmOnPaper(density);
      // The glare is no part of what was followed.
      const plain = -Math.log10(10 ** -seen - 0.004);
      const off = plain - densityOverPaper(density, light, paper);
      expect(Math.abs(off)).toBeLessThan(2 * Math.LOG10E * Math.hypot(errors[0], errors[1]));
      expect(Math.abs(off)).toBeLessThan(0.06);
    }
  });

  it("is about twice its density, and bare paper is nothing", () => {
    expect(filmOnPaper(0.5).density / 0.5).toBeGreaterThan(1.9);
    expect(filmOnPaper(0.5).density / 0.5).toBeLessThan(2.1);
    expect(filmOnPaper(0)).toEqual({ density: 0, errors: [0, 0, 0] });
  });

  it("is known worse the deeper it is, by tenths where it is no longer used", () => {
    const sigma = (density: number) => Math.LOG10E * Math.hypot(...filmOnPaper(density).errors);
    expect(sigma(0.2)).toBeLessThan(sigma(0.5));
    expect(sigma(0.5)).toBeLessThan(0.05);
    expect(sigma(deepestFilmOnPaper / 2)).toBeGreaterThan(0.04);
  });

  it("of less than nothing is no film", () => {
    expect(() => filmOnPaper(-0.1)).toThrow(RangeError);
  });
});
