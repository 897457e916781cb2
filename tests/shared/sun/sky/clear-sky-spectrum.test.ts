import { describe, expect, it } from "vitest";
import { earthSunFactor, relativeAirMass } from "#shared/sun/sky/atmosphere.ts";
import { clearAir, clearSkySpectrum, wavelengthsNm } from "#shared/sun/sky/clear-sky-spectrum.ts";
import { planeFactors } from "#shared/sun/sky/tilted-plane.ts";
import { numberIn, referenceTable } from "../../../support/reference-table.ts";

const rows = referenceTable("sun/clear-sky-spectrum", 2016);
const bandRows = referenceTable("sun/clear-sky-bands", 96);
const relativeTolerance = 1e-6; // the goal; the table carries eight digits
const groundShare = 0.2;

/** The model's answer for the circumstances of one row. */
function modelled(row: Record<string, string>) {
  const zenithDegrees = numberIn(row, "zenith_deg");
  const air = clearAir({
    pressurePa: numberIn(row, "pressure_Pa"),
    ozoneAtmCm: numberIn(row, "ozone_atm_cm"),
    haze: numberIn(row, "aod500"),
    groundShare,
  });
  const { direct, sky, clearness } = clearSkySpectrum(air, zenithDegrees, earthSunFactor(94));
  const tiltDegrees = row.plane === "horizontal" ? 0 : 45;
  const factors = planeFactors({ zenithDegrees, azimuthDegrees: 130 }, { tiltDegrees, facingDegrees: 130 });
  const mu = Math.cos((zenithDegrees * Math.PI) / 180);
  return {
    direct,
    sky,
    planeDirect: direct.map((value) => value * factors.direct),
    planeSky: sky.map(
      (value, i) => value * ((clearness[i] ?? 0) * factors.aroundSun + (1 - (clearness[i] ?? 0)) * factors.sky),
    ),
    planeGround: sky.map((value, i) => groundShare * ((direct[i] ?? 0) * mu + value) * factors.ground),
  };
}

function expectRelative(actual: number | undefined, expected: number): void {
  if (expected === 0) expect(Math.abs(actual ?? NaN)).toBeLessThan(1e-12);
  else expect(Math.abs((actual ?? NaN) / expected - 1)).toBeLessThan(relativeTolerance);
}

/** Trapezoid on the model's own wavelengths. */
function band(values: Float64Array, fromNm: number, untilNm: number): number {
  let sum = 0;
  for (let i = 1; i < wavelengthsNm.length; i += 1) {
    const [a, b] = [wavelengthsNm[i - 1] ?? 0, wavelengthsNm[i] ?? 0];
    if (a >= fromNm && b <= untilNm) sum += ((b - a) * ((values[i - 1] ?? 0) + (values[i] ?? 0))) / 2;
  }
  return sum;
}

describe("clearSkySpectrum", () => {
  const cases = [...new Set(rows.map((row) => row.case ?? ""))];
  it.each(cases)("in case %s, agrees with the published model's output at every wavelength", (name) => {
    const ofCase = rows.filter((row) => row.case === name);
    const model = modelled(ofCase[0] as Record<string, string>);
    for (const row of ofCase) {
      const i = wavelengthsNm.indexOf(numberIn(row, "wavelength_nm"));
      expect(i).toBeGreaterThanOrEqual(0);
      expectRelative(model.direct[i], numberIn(row, "dni"));
      expectRelative(model.sky[i], numberIn(row, "dhi"));
      expectRelative(model.planeDirect[i], numberIn(row, "poa_direct"));
      expectRelative(model.planeSky[i], numberIn(row, "poa_sky"));
      expectRelative(model.planeGround[i], numberIn(row, "poa_ground"));
      expectRelative(
        (model.planeDirect[i] ?? 0) + (model.planeSky[i] ?? 0) + (model.planeGround[i] ?? 0),
        numberIn(row, "poa_global"),
      );
    }
  });

  it.each(bandRows.map((row) => [row.case ?? "", row] as const))(
    "in case %s, sums to the published bands",
    (_name, row) => {
      const model = modelled(row);
      const whole = model.planeDirect.map((value, i) => value + (model.planeSky[i] ?? 0) + (model.planeGround[i] ?? 0));
      const columns = [
        ["uva_dni", model.direct, 315, 400],
        ["uva_dhi", model.sky, 315, 400],
        ["uva_poa_global", whole, 315, 400],
        ["b300_450_dni", model.direct, 300, 450],
        ["b300_450_dhi", model.sky, 300, 450],
        ["b300_450_poa_global", whole, 300, 450],
      ] as const;
      // The table is rounded to a millionth of a watt.
      for (const [column, values, from, until] of columns)
        expect(Math.abs(band(values, from, until) - numberIn(row, column))).toBeLessThan(2e-6);
    },
  );

  const zenithRows = referenceTable("sun/strength-by-zenith", 10);
  it.each(zenithRows.map((row) => [numberIn(row, "zenith_deg"), row] as const))(
    "at zenith %d, gives the published ultraviolet band",
    (zenith, row) => {
      const { direct, sky } = clearSkySpectrum(
        clearAir({ pressurePa: 101_325, ozoneAtmCm: 0.3, haze: 0.1, groundShare }),
        zenith,
        earthSunFactor(94),
      );
      const mu = Math.cos((zenith * Math.PI) / 180);
      expect(Math.abs(band(direct, 315, 400) * mu - numberIn(row, "uva_direct"))).toBeLessThan(0.051);
      expect(Math.abs(band(sky, 315, 400) - numberIn(row, "uva_diffuse"))).toBeLessThan(0.051);
    },
  );

  it("when the sun is down, is dark", () => {
    const air = clearAir({ pressurePa: 101_325, ozoneAtmCm: 0.3, haze: 0.1, groundShare: 0.05 });
    for (const zenith of [90, 91, 120, 180])
      expect(clearSkySpectrum(air, zenith, 1).sky.every((value) => value === 0)).toBe(true);
  });
});

describe("relativeAirMass", () => {
  it.each(rows.filter((row) => row.wavelength_nm === "300").map((row) => [row.case ?? "", row] as const))(
    "in case %s, agrees with the table",
    (_name, row) => {
      expect(Math.abs(relativeAirMass(numberIn(row, "zenith_deg")) - numberIn(row, "airmass_rel"))).toBeLessThan(6e-7);
    },
  );
});

describe("earthSunFactor", () => {
  it("on day 94, is the table's 0.999636", () => {
    expect(Math.abs(earthSunFactor(94) - 0.999636)).toBeLessThan(6e-7);
  });
});
