/** One stop is a doubling: log10(2) of log exposure. */
export const logHPerStop = Math.log10(2);

/**
 * Doublings that a difference of log exposure (or of density) stands for.
 * @param logH log10
 * @example
 * stopsFromLogH(Math.log10(4)) // => 2
 */
export function stopsFromLogH(logH: number): number {
  return logH / logHPerStop;
}

/** A time factor in plain words: whole and half numbers near them, otherwise one decimal. */
export function plainFactor(factor: number): string {
  const rounded = factor >= 10 ? Math.round(factor) : Math.round(factor * 10) / 10;
  return `${rounded} times`;
}
