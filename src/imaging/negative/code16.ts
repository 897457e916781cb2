/** The 16-bit code below a number, held to 0 to 65,535. Comparisons, since this runs for every pixel of a negative. */
export function code16(value: number): number {
  if (value <= 0) return 0;
  return value >= 65_535 ? 65_535 : value | 0;
}
