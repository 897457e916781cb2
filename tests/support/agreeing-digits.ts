/**
 * Decimal digits to which a computed value agrees with a certified one (log relative error); absolute where the
 * certified value is zero.
 */
export function agreeingDigits(actual: number, certified: number): number {
  if (actual === certified) return 16;
  return -Math.log10(certified === 0 ? Math.abs(actual) : Math.abs(actual - certified) / Math.abs(certified));
}
