/** Change of density for a change of L*, from the L* formula's cube root. Source: cie-1976-lightness */
export function densityShift(from: number, to: number): number {
  return 3 * Math.log10((from + 16) / (to + 16));
}
