// The series of a plot as data sets of the chart library, in the looks of the page's own drawing.
import type { ChartDataset, Point } from "chart.js";
import type { PlotSeries } from "#shared/format/plot.ts";
import { withAlpha, type ChartColours } from "./chart-colours.ts";

type LineDataset = ChartDataset<"line", Point[]>;

const dashes: readonly (readonly number[])[] = [[], [10, 5], [3, 4], [14, 4, 3, 4], [6, 3], [2, 2]];
const shapes = ["circle", "rect", "triangle", "rectRot", "cross", "star"] as const;
const bandOpacity = 0.18;

/** A data set with the series that it came from and the words of its points; a band has neither words nor hits. */
export interface DrawnSet {
  readonly dataset: LineDataset;
  readonly series: PlotSeries;
  readonly words: readonly string[];
}

/** What is drawn of a series whose points rise along x. */
export function drawnSets(series: PlotSeries, words: readonly string[], colours: ChartColours): DrawnSet[] {
  const look = ((series.look ?? 1) - 1) % shapes.length;
  const colour = colours.series[look] ?? colours.ink;
  const common = {
    label: series.name,
    borderColor: colour,
    backgroundColor: colour,
    parsing: false as const,
    data: series.points.map(({ x, y }) => ({ x, y })),
  };
  const drawn = (looks: Partial<LineDataset>): DrawnSet[] => [{ series, words, dataset: { ...common, ...looks } }];
  switch (series.kind) {
    case "line":
      return drawn({ pointRadius: 0, pointHitRadius: 8, borderWidth: 2.5, borderDash: [...(dashes[look] ?? [])] });
    case "band":
      return bandSets(series, common, colour);
    case "points":
      return drawn({
        showLine: false,
        pointStyle: shapes[look] ?? "circle",
        pointRadius: 4.5,
        pointHoverRadius: 7,
        pointBorderWidth: 1.5,
        pointBackgroundColor: series.points.map((point) => (point.leftOut ? colours.sheet : colour)),
      });
    case "marks":
      return drawn({
        showLine: false,
        pointRadius: 7,
        pointHoverRadius: 9,
        pointBorderWidth: 3,
        pointBackgroundColor: colours.sheet,
      });
  }
}

/** The lower edge, unseen, and the upper edge, filled down to it. */
function bandSets(series: PlotSeries, common: LineDataset, colour: string): DrawnSet[] {
  const bare = { ...common, pointRadius: 0, pointHitRadius: 0, pointHoverRadius: 0, borderWidth: 0 };
  const lower = series.points.map((point) => ({ x: point.x, y: point.lower ?? point.y }));
  const upper = series.points.map((point) => ({ x: point.x, y: point.upper ?? point.y }));
  return [
    { series, words: [], dataset: { ...bare, data: lower } },
    {
      series,
      words: [],
      dataset: { ...bare, data: upper, fill: "-1", backgroundColor: withAlpha(colour, bandOpacity) },
    },
  ];
}
