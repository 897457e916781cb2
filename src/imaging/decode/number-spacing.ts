// How finely a picture's numbers are really divided: many a file of 16 bits holds no more than 8 or 12 of them.

/** So many numbers, evenly chosen, show which of them a picture uses. */
const enoughNumbers = 1_000_000;
/** A file of 16 bits is never taken to be coarser than one of 8: a drawing in few flat tones is no coarse scan. */
const mostSpacing = 257;

/**
 * Mean distance between the numbers that a picture of 16 bits uses, in whole codes: 1 for one that uses all, 257 for
 * one made of 8 bits.
 * @param numbers of all channels
 */
export function spacingOfNumbers(numbers: Uint16Array): number {
  const isUsed = new Uint8Array(2 ** 16);
  // An odd stride meets every channel in turn.
  const stride = Math.max(1, 2 * Math.floor(numbers.length / enoughNumbers / 2) + 1);
  for (let i = 0; i < numbers.length; i += stride) isUsed[numbers[i]!] = 1;
  const used = isUsed.reduce((sum, is) => sum + is, 0);
  if (used < 2) return 1;
  const span = isUsed.lastIndexOf(1) - isUsed.indexOf(1);
  return Math.min(mostSpacing, Math.max(1, Math.round(span / (used - 1))));
}
