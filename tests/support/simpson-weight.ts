/** Weight of point i (0 to n, n even) in Simpson's rule, whose sum is taken times a third of the spacing. */
export function simpsonWeight(i: number, n: number): number {
  if (i === 0 || i === n) return 1;
  return i % 2 === 1 ? 4 : 2;
}
