// A plot as files to take away: a table of all its points, a painted drawing.
import type { PlotSpec } from "#shared/format/plot.ts";
import { csvText } from "#src/output/csv.ts";
import type { Tools } from "./tools.ts";

/** Every point of every series, in the units of the axes; times in seconds. */
export function plotCsv(plot: PlotSpec): string {
  const isTimed = plot.x.readAs === "times";
  return csvText(
    [
      "series",
      isTimed ? `${plot.x.label} (seconds)` : plot.x.label,
      plot.y.label,
      "lower",
      "upper",
      "name",
      "left out",
    ],
    plot.series.flatMap(({ name, points }) =>
      points.map(({ x, y, lower = "", upper = "", label = "", leftOut }) => [
        name,
        isTimed ? Math.round(10 ** x * 1000) / 1000 : x,
        y,
        lower,
        upper,
        label,
        leftOut === true ? "yes" : "",
      ]),
    ),
  );
}

/** A drawing of this program as a PNG picture. */
export async function paintDrawing({ imaging }: Pick<Tools, "imaging">, svg: string): Promise<Uint8Array> {
  return (await imaging.run("paint-drawing", { svg })).png;
}
