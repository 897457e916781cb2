// Truth from a spectrum: an absorption band on white paper through broad channels, seen with stray light and raised
// saturation. Band, channels and surface are invented; their width and place are common practice, no source.
import { describe, expect, it } from "vitest";
import { undoneByOnePigment, type SeenDensity, type SeenStep } from "#shared/reading/camera/one-pigment.ts";
import { luminanceFromLinearSrgb } from "#shared/density/srgb.ts";
import { onePigmentLights } from "../../../support/one-pigment-lights.ts";

function seen(
  { flare, chroma }: { flare: number; chroma: number },
  peakNm = 680,
): { readonly steps: (SeenStep | null)[]; readonly red: readonly number[] } {
  const lights = onePigmentLights(peakNm);
  return {
    red: lights.map(([red]) => -Math.log10(red)),
    steps: lights.map((light) => {
      const veiled = light.map((each) => (each + flare) / (1 + flare)) as [number, number, number];
      const luminance = luminanceFromLinearSrgb(...veiled);
      const [r, g, b] = veiled.map((each) => luminance + chroma * (each - luminance)) as [number, number, number];
      if (r < 0.003) return null;
      return { red: seenAs(r), green: seenAs(g), blue: seenAs(b) };
    }),
  };
}

/** A tone curve that is known. */
const seenAs = (light: number): SeenDensity => ({ density: -Math.log10(light), sigma: 0.004, moves: noMoves });
const noMoves = new Float64Array(1);

const rms = (values: readonly number[]) => Math.sqrt(values.reduce((sum, each) => sum + each ** 2, 0) / values.length);

describe("what the one pigment of a print tells of the camera", () => {
  it.each([
    [{ flare: 0, chroma: 1 }, 0.08],
    [{ flare: 0.02, chroma: 1 }, 0.05],
    [{ flare: 0.01, chroma: 1.4 }, 0.06],
    [{ flare: 0, chroma: 1.7 }, 0.06],
  ])("with %o leaves red density this close, and its uncertainty covers what is left", (camera, most) => {
    const { steps, red } = seen(camera);
    const undone = undoneByOnePigment(steps)!;
    const known = red.flatMap((density, i) => {
      const found = undone.red[i] ?? null;
      return found === null || density > 1.5 ? [] : [{ error: found - density, sigma: undone.sigma[i]! }];
    });
    expect(known.length).toBeGreaterThan(10);
    expect(rms(known.map(({ error }) => error))).toBeLessThan(most);
    expect(rms(known.map(({ error, sigma }) => error / Math.hypot(sigma, 0.005)))).toBeLessThan(2);
  });

  it("is much nearer than the picture where saturation is raised or light is astray", () => {
    for (const camera of [
      { flare: 0.02, chroma: 1 },
      { flare: 0.01, chroma: 1.4 },
    ]) {
      const { steps, red } = seen(camera);
      const undone = undoneByOnePigment(steps)!;
      const off = (found: (i: number) => number | null) =>
        rms(
          red.flatMap((density, i) => {
            const one = found(i);
            return one === null || density > 1.5 ? [] : [one - density];
          }),
        );
      expect(off((i) => undone.red[i] ?? null)).toBeLessThan(0.6 * off((i) => steps[i]?.red.density ?? null));
    }
  });

  it("with five steps says nothing", () => {
    expect(undoneByOnePigment(seen({ flare: 0, chroma: 1 }).steps.slice(0, 5))).toBeNull();
  });
});
