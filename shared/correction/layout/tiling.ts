// How a length is split over sheets of film that overlap, and where the sheets are cut.

/** One sheet's part of a length, in whole pixels of the whole picture. */
export interface Stretch {
  readonly start: number;
  readonly length: number;
  /** What is left after cutting: the middle of each overlap is the cut, so that sheets butt without a gap. */
  readonly keepStart: number;
  readonly keepEnd: number;
}

/**
 * Even stretches of a length with overlap, each no longer than the film has room for.
 * @param space room on one sheet [px]; Infinity where the film is as long as it must be
 * @returns null when the film has no room beside the overlap
 */
export function stretches({
  size,
  space,
  overlap,
}: {
  readonly size: number;
  readonly space: number;
  readonly overlap: number;
}): readonly Stretch[] | null {
  if (size <= space) return [{ start: 0, length: size, keepStart: 0, keepEnd: size }];
  if (space < 2 * overlap + 10) return null;
  const count = Math.ceil((size - overlap) / (space - overlap));
  const length = Math.ceil((size + (count - 1) * overlap) / count);
  const start = (index: number) => Math.round((index * (size - length)) / (count - 1));
  const cutAfter = (index: number) => Math.floor((start(index + 1) + start(index) + length) / 2);
  return Array.from({ length: count }, (_, index) => ({
    start: start(index),
    length,
    keepStart: index === 0 ? 0 : cutAfter(index - 1),
    keepEnd: index === count - 1 ? size : cutAfter(index),
  }));
}
