/** One wavelength of the clear-sky model. */
export interface ClearSkyCoefficients {
  readonly wavelengthNm: number;
  /** Sunlight above the air at the mean distance of the sun [W/m²/nm]. */
  readonly extraterrestrial: number;
  /** Absorption by ozone [per atm-cm]. */
  readonly ozone: number;
}

/**
 * Rows 300 to 500 nm of the model's table. Water vapour and the mixed gases do not absorb below 590 nm, so their
 * columns are left out.
 * Source: BirdRiordan1986, table 2-1 of the report of 1984, by way of pvlib (BSD-3).
 */
export const clearSkyCoefficients: readonly ClearSkyCoefficients[] = [
  { wavelengthNm: 300, extraterrestrial: 0.5359, ozone: 10.0 },
  { wavelengthNm: 305, extraterrestrial: 0.5583, ozone: 4.8 },
  { wavelengthNm: 310, extraterrestrial: 0.622, ozone: 2.7 },
  { wavelengthNm: 315, extraterrestrial: 0.6927, ozone: 1.35 },
  { wavelengthNm: 320, extraterrestrial: 0.7151, ozone: 0.8 },
  { wavelengthNm: 325, extraterrestrial: 0.8329, ozone: 0.38 },
  { wavelengthNm: 330, extraterrestrial: 0.9619, ozone: 0.16 },
  { wavelengthNm: 335, extraterrestrial: 0.9319, ozone: 0.075 },
  { wavelengthNm: 340, extraterrestrial: 0.9006, ozone: 0.04 },
  { wavelengthNm: 345, extraterrestrial: 0.9113, ozone: 0.019 },
  { wavelengthNm: 350, extraterrestrial: 0.9755, ozone: 0.007 },
  { wavelengthNm: 360, extraterrestrial: 0.9759, ozone: 0.0 },
  { wavelengthNm: 370, extraterrestrial: 1.1199, ozone: 0.0 },
  { wavelengthNm: 380, extraterrestrial: 1.1038, ozone: 0.0 },
  { wavelengthNm: 390, extraterrestrial: 1.0338, ozone: 0.0 },
  { wavelengthNm: 400, extraterrestrial: 1.4791, ozone: 0.0 },
  { wavelengthNm: 410, extraterrestrial: 1.7013, ozone: 0.0 },
  { wavelengthNm: 420, extraterrestrial: 1.7404, ozone: 0.0 },
  { wavelengthNm: 430, extraterrestrial: 1.5872, ozone: 0.0 },
  { wavelengthNm: 440, extraterrestrial: 1.837, ozone: 0.0 },
  { wavelengthNm: 450, extraterrestrial: 2.005, ozone: 0.003 },
  { wavelengthNm: 460, extraterrestrial: 2.043, ozone: 0.006 },
  { wavelengthNm: 470, extraterrestrial: 1.987, ozone: 0.009 },
  { wavelengthNm: 480, extraterrestrial: 2.027, ozone: 0.014 },
  { wavelengthNm: 490, extraterrestrial: 1.896, ozone: 0.021 },
  { wavelengthNm: 500, extraterrestrial: 1.909, ozone: 0.03 },
];
