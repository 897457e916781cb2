// The chart library behind our own words: a PlotSpec drawn on a canvas in the colours of the page.
import {
  Chart,
  Filler,
  LinearScale,
  LineController,
  LineElement,
  PointElement,
  Tooltip,
  type ChartOptions,
  type Point,
} from "chart.js";
import { readPoints } from "#shared/format/plot-reading.ts";
import type { PlotAxis, PlotSpec } from "#shared/format/plot.ts";
import { wrappedLines } from "#shared/format/wrapped-lines.ts";
import { coloursNow, type ChartColours } from "./chart-colours.ts";
import { furniture, type DrawnNow } from "./chart-furniture.ts";
import { drawnSets, type DrawnSet } from "./chart-series.ts";

Chart.register(Filler, LineController, LineElement, LinearScale, PointElement, Tooltip);

/** Width of a letter of an axis' name, and what the axes take of the canvas beside the name [px]. */
const letterWidth = 7.5;
const axesRoom = 80;
const tooltipLetters = 36;

export interface LiveChart {
  draw(spec: PlotSpec): void;
  destroy(): void;
}

export function liveChart(canvas: HTMLCanvasElement, first: PlotSpec): LiveChart {
  const colours = coloursNow();
  const now: DrawnNow = { spec: first, colours, sets: setsOf(first, colours) };
  const chart = new Chart<"line", Point[]>(canvas, {
    type: "line",
    data: { datasets: now.sets.map(({ dataset }) => dataset) },
    plugins: [furniture(now)],
    options: optionsOf(now, canvas),
  });
  return {
    draw(spec) {
      now.spec = spec;
      now.colours = coloursNow();
      now.sets = setsOf(spec, now.colours);
      chart.data = { datasets: now.sets.map(({ dataset }) => dataset) };
      chart.options = optionsOf(now, canvas);
      chart.update("none");
    },
    destroy() {
      chart.destroy();
    },
  };
}

/** The library looks for points in view by halving, so that they must rise along x. */
function setsOf(spec: PlotSpec, colours: ChartColours): DrawnSet[] {
  const rising = spec.series
    .filter(({ points }) => points.length > 0)
    .map((series) => ({ ...series, points: series.points.toSorted((a, b) => a.x - b.x) }));
  const read = readPoints({ ...spec, series: rising }, { left: 0, top: 0, right: 1, bottom: 1 });
  let place = 0;
  return rising.flatMap((series) => {
    const words = series.kind === "band" ? [] : (read[place++] ?? []).map((point) => point.words);
    return drawnSets(series, words, colours);
  });
}

function optionsOf(now: DrawnNow, canvas: HTMLCanvasElement): ChartOptions<"line"> {
  const { spec, colours } = now;
  const box = canvas.parentElement?.getBoundingClientRect();
  const lettersAlong = (length: number | undefined): number => Math.floor(((length ?? 600) - axesRoom) / letterWidth);
  return {
    animation: false,
    responsive: true,
    maintainAspectRatio: false,
    interaction: { mode: "nearest", intersect: true },
    scales: {
      x: axisOptions(spec.x, colours, lettersAlong(box?.width)),
      y: axisOptions(spec.y, colours, lettersAlong(box?.height)),
    },
    plugins: {
      legend: { display: false },
      tooltip: {
        displayColors: false,
        backgroundColor: colours.sheet,
        borderColor: colours.ink,
        borderWidth: 1,
        bodyColor: colours.ink,
        bodyFont: { size: 14, family: colours.font },
        filter: ({ datasetIndex }) => (now.sets[datasetIndex]?.words.length ?? 0) > 0,
        callbacks: {
          title: () => "",
          label: ({ datasetIndex, dataIndex }) =>
            wrappedLines(now.sets[datasetIndex]?.words[dataIndex] ?? "", tooltipLetters),
        },
      },
    },
  };
}

type AxisOptions = NonNullable<NonNullable<ChartOptions<"line">["scales"]>[string]>;

function axisOptions(axis: PlotAxis, colours: ChartColours, letters: number): AxisOptions {
  const words = new Map(axis.ticks.map(({ at, label }) => [at, label]));
  return {
    type: "linear",
    min: axis.min,
    max: axis.max,
    title: {
      display: true,
      text: wrappedLines(axis.label, letters),
      color: colours.ink,
      font: { size: 15, family: colours.font },
    },
    grid: { color: colours.grid },
    border: { color: colours.ink },
    ticks: {
      color: colours.ink,
      font: { size: 14, family: colours.font },
      maxRotation: 0,
      autoSkipPadding: 10,
      callback: (value) => words.get(Number(value)) ?? "",
    },
    afterBuildTicks: (scale) => {
      scale.ticks = axis.ticks.map(({ at }) => ({ value: at }));
    },
  };
}
