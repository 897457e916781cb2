import { describe, expect, it } from "vitest";
import { xyzFromReflectanceSpectrum } from "#shared/density/reflectance-spectrum.ts";

const wavelengthsNm = Array.from({ length: 36 }, (_, i) => 380 + 10 * i);
const flat = (reflectance: number) => ({ wavelengthsNm, reflectances: wavelengthsNm.map(() => reflectance) });

describe("the colour of a reflectance spectrum under D50", () => {
  it("of the perfect white is the published white of D50 and the 1931 observer", () => {
    // CIE 15: X = 96.42, Z = 82.51 (sums over 5 nm); 10 nm come within 0.1.
    const [x, y, z] = xyzFromReflectanceSpectrum(flat(1));
    expect(y).toBeCloseTo(1, 12);
    expect(Math.abs(x - 0.9642)).toBeLessThan(0.001);
    expect(Math.abs(z - 0.8251)).toBeLessThan(0.001);
  });

  it("is in proportion to a grey", () => {
    const white = xyzFromReflectanceSpectrum(flat(1));
    for (const [i, value] of xyzFromReflectanceSpectrum(flat(0.18)).entries())
      expect(value).toBeCloseTo(0.18 * white[i]!, 12);
  });

  it("of one wavelength lies on the spectrum locus", () => {
    // CIE 15, chromaticity of 560 nm: x = 0.3731, y = 0.6245.
    const narrow = { wavelengthsNm: [550, 560, 570], reflectances: [0, 1, 0] };
    const [x, y, z] = xyzFromReflectanceSpectrum(narrow);
    expect(x / (x + y + z)).toBeCloseTo(0.3731, 3);
    expect(y / (x + y + z)).toBeCloseTo(0.6245, 3);
  });
});
