// The four corners of a thing, each made into something else: the result is known to be four as well.

/** Four of a kind, round a quadrilateral. */
type Four<T> = readonly [T, T, T, T];

/**
 * What each of four corners (or marks, or rings) becomes, in the same order.
 * @param four in the order round the quadrilateral
 * @param of what one becomes
 */
export function ofEachCorner<From, To>([a, b, c, d]: Four<From>, of: (one: From) => To): [To, To, To, To] {
  return [of(a), of(b), of(c), of(d)];
}
