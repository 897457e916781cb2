/** One stop is a doubling: log10(2) of log exposure. */
const logHPerStop = Math.log10(2);

/**
 * Doublings that a difference of log exposure (or of density) stands for.
 * @param logH log10
 * @example
 * stopsFromLogH(Math.log10(4)) // => 2
 */
export function stopsFromLogH(logH: number): number {
  return logH / logHPerStop;
}
