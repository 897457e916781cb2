/** How strongly light of one wavelength prints. */
export interface ActionRow {
  readonly wavelengthNm: number;
  /** Effect of one unit of energy, relative to the best wavelength, 0-1. */
  readonly perEnergy: number;
  /** Share of light that 3 to 4 mm of ordinary window glass lets through, 0-1 (assumed). */
  readonly glass: number;
}

/**
 * Approximate relative effect of ultraviolet and violet light on a classic blue-print coating (ammonium iron(III)
 * citrate with potassium ferricyanide). Modelled, not measured: good for the ratio between two hours of sunlight, not
 * for comparing lamps.
 * Source: ActionSpectrumModel (iron citrate's slope and the glass are assumed; ferricyanide's bands and the quantum
 *   yield's shape from memory).
 */
export const actionSpectrum: readonly ActionRow[] = [
  { wavelengthNm: 300, perEnergy: 0.865, glass: 0.02 },
  { wavelengthNm: 305, perEnergy: 0.868, glass: 0.06 },
  { wavelengthNm: 310, perEnergy: 0.877, glass: 0.15 },
  { wavelengthNm: 315, perEnergy: 0.888, glass: 0.29 },
  { wavelengthNm: 320, perEnergy: 0.897, glass: 0.45 },
  { wavelengthNm: 325, perEnergy: 0.911, glass: 0.575 },
  { wavelengthNm: 330, perEnergy: 0.926, glass: 0.7 },
  { wavelengthNm: 335, perEnergy: 0.944, glass: 0.76 },
  { wavelengthNm: 340, perEnergy: 0.961, glass: 0.82 },
  { wavelengthNm: 345, perEnergy: 0.974, glass: 0.845 },
  { wavelengthNm: 350, perEnergy: 0.987, glass: 0.87 },
  { wavelengthNm: 355, perEnergy: 0.994, glass: 0.883 },
  { wavelengthNm: 360, perEnergy: 1.0, glass: 0.895 },
  { wavelengthNm: 365, perEnergy: 0.996, glass: 0.899 },
  { wavelengthNm: 370, perEnergy: 0.976, glass: 0.903 },
  { wavelengthNm: 375, perEnergy: 0.937, glass: 0.906 },
  { wavelengthNm: 380, perEnergy: 0.888, glass: 0.91 },
  { wavelengthNm: 385, perEnergy: 0.822, glass: 0.91 },
  { wavelengthNm: 390, perEnergy: 0.745, glass: 0.91 },
  { wavelengthNm: 395, perEnergy: 0.665, glass: 0.91 },
  { wavelengthNm: 400, perEnergy: 0.582, glass: 0.91 },
  { wavelengthNm: 405, perEnergy: 0.513, glass: 0.91 },
  { wavelengthNm: 410, perEnergy: 0.443, glass: 0.91 },
  { wavelengthNm: 415, perEnergy: 0.391, glass: 0.91 },
  { wavelengthNm: 420, perEnergy: 0.343, glass: 0.91 },
  { wavelengthNm: 425, perEnergy: 0.312, glass: 0.91 },
  { wavelengthNm: 430, perEnergy: 0.282, glass: 0.91 },
  { wavelengthNm: 435, perEnergy: 0.268, glass: 0.91 },
  { wavelengthNm: 440, perEnergy: 0.252, glass: 0.91 },
  { wavelengthNm: 445, perEnergy: 0.245, glass: 0.91 },
  { wavelengthNm: 450, perEnergy: 0.234, glass: 0.91 },
  { wavelengthNm: 455, perEnergy: 0.226, glass: 0.91 },
  { wavelengthNm: 460, perEnergy: 0.213, glass: 0.91 },
  { wavelengthNm: 465, perEnergy: 0.199, glass: 0.91 },
  { wavelengthNm: 470, perEnergy: 0.183, glass: 0.91 },
  { wavelengthNm: 475, perEnergy: 0.168, glass: 0.91 },
  { wavelengthNm: 480, perEnergy: 0.152, glass: 0.91 },
  { wavelengthNm: 485, perEnergy: 0.134, glass: 0.91 },
  { wavelengthNm: 490, perEnergy: 0.117, glass: 0.91 },
  { wavelengthNm: 495, perEnergy: 0.101, glass: 0.91 },
  { wavelengthNm: 500, perEnergy: 0.087, glass: 0.91 },
];
