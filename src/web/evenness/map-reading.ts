// The light at every place of a bed's map, as a plot whose figures pointer, finger and arrow keys read.
import { formatFixed } from "#shared/format/number.ts";
import { plotAxis, type PlotSpec } from "#shared/format/plot.ts";
import type { SavedEvenness } from "#shared/schema/evenness.ts";

/** A row of the map is a series, from the back of the bed; its places go from left to right. */
export function mapReading({
  rows,
  columns,
  stops,
  percent,
}: Pick<SavedEvenness, "rows" | "columns" | "stops" | "percent">): PlotSpec {
  const placesOfRow = (row: number) =>
    Array.from({ length: columns }, (_, column) => {
      const index = row * columns + column;
      const figures = `${formatFixed(stops[index] ?? 0, 2)} stop, ${formatFixed(percent[index] ?? 0, 0)} %`;
      return {
        x: Math.round(((column + 0.5) / columns) * 1e4) / 1e4,
        y: Math.round((1 - (row + 0.5) / rows) * 1e4) / 1e4,
        label: `place ${column + 1} of ${columns}, ${figures}`,
      };
    });
  return {
    title: "Map of the light",
    summary: "Light at each place of the bed against the best place.",
    x: { ...plotAxis("from left to right", [0, 1], { from: 0 }), min: 0, max: 1 },
    y: { ...plotAxis("from front to back", [0, 1], { from: 0 }), min: 0, max: 1 },
    series: Array.from({ length: rows }, (_, row) => ({
      name: `Row ${row + 1} of ${rows}`,
      kind: "points" as const,
      points: placesOfRow(row),
    })),
  };
}
