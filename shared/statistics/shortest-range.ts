// The shortest range that holds a share of what was drawn.

/**
 * Of all ranges that hold so many of the values, the shortest: it lies where they are dense, and no value left outside
 * is likelier than one inside. Equal shares are left beyond both ends only where both sides fall off alike.
 * @param rising values in rising order, one at least
 * @param share of the values that lie inside, ends counted, above 0 to 1
 * @throws RangeError for an empty list
 * Source: ChenShao1999 (the shortest of all that hold so many).
 * @example
 * shortestRange([0, 1, 1.5, 2, 9], 0.6) // => { lower: 1, upper: 2 }
 */
export function shortestRange(rising: ArrayLike<number>, share: number): { lower: number; upper: number } {
  if (rising.length === 0) throw new RangeError("the range of nothing is not defined");
  const beyondFirst = Math.ceil(share * rising.length) - 1;
  const lengthFrom = (first: number): number => rising[first + beyondFirst]! - rising[first]!;
  let best = 0;
  for (let first = 1; first + beyondFirst < rising.length; first++)
    if (lengthFrom(first) < lengthFrom(best)) best = first;
  return { lower: rising[best]!, upper: rising[best + beyondFirst]! };
}
