// Where to lay tablets on a bed, so that a few of them show how the light falls over all of it.

/**
 * How far from the bed's edges the plan lays the outer tablets, share of its width and depth. common practice, no
 * source
 */
const planMargin = 0.12;

/**
 * Places that show most of a bed with so many tablets.
 * @param count of tablets, 1 or more
 * @returns shares of the bed's width and depth, row by row, back left first
 * Source: common practice, no source.
 */
export function plannedPlaces(count: number): { x: number; y: number }[] {
  const along = (index: number, of: number): number =>
    of === 1 ? 0.5 : planMargin + (index * (1 - 2 * planMargin)) / (of - 1);
  const rows = rowsOf(count);
  return rows.flatMap((inRow, row) =>
    Array.from({ length: inRow }, (_, index) => ({ x: along(index, inRow), y: along(row, rows.length) })),
  );
}

/** Tablets in each row, from the back. */
function rowsOf(count: number): number[] {
  if (count === 5) return [2, 1, 2];
  if (count < 7) return [Math.ceil(count / 2), Math.floor(count / 2)];
  const rows = Math.round(Math.sqrt(count));
  return Array.from({ length: rows }, (_, row) => Math.floor(count / rows) + (row < count % rows ? 1 : 0));
}
