// The map of a bed's light as rectangles, contour lines and labels of an SVG, and the same as a table.
import { formatFixed, formatShare, formatStops } from "#shared/format/number.ts";
import type { Evenness, SavedEvenness } from "#shared/schema/evenness.ts";
import type { Corners } from "#shared/schema/reading.ts";
import type { StoreReader } from "#src/store/store.ts";
import { mapReading } from "./map-reading.ts";

/** Width of the drawn map in its own units; its height follows the bed. */
const drawnWidth = 720;
/** Most rows and columns of numbers on the map. */
const mostLabels = 5;

/** What of a map is drawn. */
export type DrawnMap = Pick<
  SavedEvenness,
  "id" | "kind" | "columns" | "rows" | "stops" | "percent" | "contours" | "places" | "workArea" | "corners"
>;

/** The drawing alone, with the numbers on it. */
export function mapFigure(map: DrawnMap) {
  const height = Math.round(drawnWidth * Math.min(2, Math.max(0.35, bedRatio(map))));
  const cell = { width: drawnWidth / map.columns, height: height / map.rows };
  const x = (share: number): number => Math.round(share * drawnWidth * 10) / 10;
  const y = (share: number): number => Math.round(share * height * 10) / 10;
  const at = (row: number, column: number): { stops: string; percent: string } => {
    const index = row * map.columns + column;
    return { stops: formatFixed(map.stops[index] ?? 0, 2), percent: `${formatFixed(map.percent[index] ?? 0, 0)} %` };
  };
  const pick = (count: number): number[] =>
    Array.from({ length: Math.min(count, mostLabels) }, (_, index) =>
      Math.floor(((index + 0.5) * count) / Math.min(count, mostLabels)),
    );
  const [rows, columns] = [pick(map.rows), pick(map.columns)];
  return {
    width: drawnWidth,
    height,
    // One blue, paler where the light is weaker; labels and lines carry the numbers.
    cells: map.stops.map((stops, index) => ({
      x: (index % map.columns) * cell.width,
      y: Math.floor(index / map.columns) * cell.height,
      width: cell.width,
      height: cell.height,
      opacity: Math.round(Math.max(0.06, 0.62 + stops * 0.55) * 100) / 100,
    })),
    contours: map.contours.map((contour) => ({
      label: formatStops(contour.stops === 0 ? 0 : -Math.abs(contour.stops)),
      path: contour.pieces.map(([x1, y1, x2, y2]) => `M${x(x1)} ${y(y1)}L${x(x2)} ${y(y2)}`).join(""),
    })),
    labels: rows.flatMap((row) =>
      columns.map((column) => ({
        x: x((column + 0.5) / map.columns),
        y: y((row + 0.5) / map.rows),
        ...at(row, column),
      })),
    ),
    // Where tablets lay; the many places of an even sheet would hide the map.
    spots:
      map.kind === "tablets"
        ? map.places.map((place, index) => ({ x: x(place.x), y: y(place.y), name: String(index + 1) }))
        : [],
    work: { x: x(map.workArea.x), y: y(map.workArea.y), width: x(map.workArea.width), height: y(map.workArea.height) },
    table: {
      columns: placeNames(columns.length, ["left", "right"]),
      rows: placeNames(rows.length, ["back", "front"]).map((name, index) => ({
        name,
        cells: columns.map((column) => at(rows[index]!, column)),
      })),
    },
    reading: mapReading(map),
    mapId: map.id,
  };
}

/** Names of places in a row: those at its ends, and numbers between. */
function placeNames(count: number, [first, last]: readonly [string, string]): string[] {
  return Array.from({ length: count }, (_, index) => {
    if (index === 0) return first;
    return index === count - 1 ? last : String(index + 1);
  });
}

export function evennessMapView(store: StoreReader, map: SavedEvenness, lampId: string) {
  const lamp = store.lamps.find(lampId);
  return {
    ...mapFigure(map),
    range: formatFixed(map.worstToBestStops, 2),
    lower: formatFixed(map.lowerStops ?? map.worstToBestStops, 2),
    upper: formatFixed(map.upperStops ?? map.worstToBestStops, 2),
    percent: formatShare(1 / map.worstToBestRatio),
    within: formatShare(map.withinTenthShare),
    reasons: map.reasons,
    warnings: map.warnings.map(({ message }) => message),
    tablets:
      map.kind === "tablets"
        ? map.places.map((place, index) => ({
            name: index + 1,
            stops: formatFixed(place.stops, 2),
            percent: formatShare(2 ** place.stops),
          }))
        : [],
    lamp: lamp === undefined ? null : { id: lamp.id, name: lamp.name },
  };
}

/** Depth of the bed over its width: as measured, else as the picture shows it, else square. */
function bedRatio({ workArea, corners }: Pick<Evenness, "workArea" | "corners">): number {
  if (workArea.widthMm !== null && workArea.heightMm !== null && workArea.width > 0 && workArea.height > 0)
    return workArea.heightMm / workArea.height / (workArea.widthMm / workArea.width);
  return corners === null ? 1 : cornersRatio(corners);
}

/** Height over width of the area between four corners, by its middle lines. */
function cornersRatio([a, b, c, d]: Corners): number {
  const length = (p: readonly [number, number], q: readonly [number, number]): number =>
    Math.hypot(p[0] - q[0], p[1] - q[1]);
  return (length(a, d) + length(b, c)) / Math.max(1, length(a, b) + length(d, c));
}
