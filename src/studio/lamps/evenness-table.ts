// A bed's map as a table to take away.
import type { SavedEvenness } from "#shared/schema/evenness.ts";
import { csvText } from "#src/output/csv.ts";

/** A row for each place of the map: its middle as shares of width and depth, light in stops and percent of the best. */
export function evennessTable({
  rows,
  columns,
  stops,
  percent,
}: Pick<SavedEvenness, "rows" | "columns" | "stops" | "percent">): string {
  return csvText(
    ["left share", "back share", "stops", "percent"],
    stops.map((stop, index) => [
      ((index % columns) + 0.5) / columns,
      (Math.floor(index / columns) + 0.5) / rows,
      stop,
      percent[index] ?? "",
    ]),
  );
}
