// Chart.js behind our own words: a PlotSpec becomes a live chart in the colours of the theme.
import type { ChartConfiguration, ChartDataset, Plugin, Point } from "chart.js";
import type { PlotSeries, PlotSpec } from "#shared/format/plot.ts";
import { themeChanged } from "./theme-choice.ts";

type LineDataset = ChartDataset<"line", Point[]>;

const dashes: readonly (readonly number[])[] = [[], [10, 5], [3, 4], [14, 4, 3, 4], [6, 3], [2, 2]];
const shapes = ["circle", "rect", "triangle", "rectRot", "cross", "star"] as const;

interface Colours {
  readonly ink: string;
  readonly grid: string;
  readonly sheet: string;
  readonly series: readonly string[];
  readonly font: string;
}

function coloursNow(): Colours {
  // A token may say two colours, for day and night: only a colour in use is told as the one that counts.
  const probe = document.body.appendChild(document.createElement("span"));
  probe.hidden = true;
  const colour = (name: string): string => {
    probe.style.color = `var(${name})`;
    return getComputedStyle(probe).color;
  };
  const colours = {
    ink: colour("--plot-ink"),
    grid: colour("--plot-grid"),
    sheet: colour("--sheet"),
    series: [1, 2, 3, 4, 5, 6].map((index) => colour(`--series-${index}`)),
    font: getComputedStyle(document.documentElement).getPropertyValue("--type").trim(),
  };
  probe.remove();
  return colours;
}

function lookOf(series: PlotSeries, index: number): number {
  return ((series.look ?? index + 1) - 1) % 6;
}

/** Every drawn dataset keeps the series it came from, for error bars, labels and tooltips. */
interface Drawn {
  readonly dataset: LineDataset;
  readonly series: PlotSeries | null;
}

function drawnFrom(series: PlotSeries, index: number, colours: Colours): Drawn[] {
  const look = lookOf(series, index);
  const colour = colours.series[look] ?? colours.ink;
  const common = { borderColor: colour, backgroundColor: colour, parsing: false as const };
  switch (series.kind) {
    case "line":
      return [
        {
          series,
          dataset: {
            ...common,
            label: series.name,
            data: series.points.map(({ x, y }) => ({ x, y })),
            pointRadius: 0,
            pointHitRadius: 8,
            borderWidth: 2.5,
            borderDash: [...(dashes[look] ?? [])],
          },
        },
      ];
    case "band":
      return [
        {
          series: null,
          dataset: {
            ...common,
            label: "",
            data: series.points.map((point) => ({ x: point.x, y: point.lower ?? point.y })),
            pointRadius: 0,
            pointHitRadius: 0,
            borderWidth: 0,
          },
        },
        {
          series: null,
          dataset: {
            ...common,
            label: series.name,
            data: series.points.map((point) => ({ x: point.x, y: point.upper ?? point.y })),
            pointRadius: 0,
            pointHitRadius: 0,
            borderWidth: 0,
            fill: "-1",
            backgroundColor: withAlpha(colour, 0.18),
          },
        },
      ];
    case "points":
      return [
        {
          series,
          dataset: {
            ...common,
            label: series.name,
            data: series.points.map(({ x, y }) => ({ x, y })),
            showLine: false,
            pointStyle: shapes[look] ?? "circle",
            pointRadius: 4.5,
            pointHoverRadius: 7,
            pointBorderWidth: 1.5,
            pointBackgroundColor: series.points.map((point) => (point.leftOut ? colours.sheet : colour)),
          },
        },
      ];
    case "marks":
      return [
        {
          series,
          dataset: {
            ...common,
            label: series.name,
            data: series.points.map(({ x, y }) => ({ x, y })),
            showLine: false,
            pointStyle: "circle",
            pointRadius: 7,
            pointHoverRadius: 9,
            pointBorderWidth: 3,
            pointBackgroundColor: colours.sheet,
          },
        },
      ];
  }
}

/** A colour of the theme with an opacity 0-1; themes write their series as #rrggbb. */
function withAlpha(colour: string, alpha: number): string {
  return colour.replace(/^rgb\((.*)\)$/, `rgba($1, ${alpha})`);
}

/** Draws what Chart.js has no word for: error bars, the drop lines and names of marks, and lines across. */
function furniture(spec: PlotSpec, drawn: readonly Drawn[], colours: Colours): Plugin<"line"> {
  return {
    id: "furniture",
    afterDatasetsDraw(chart) {
      const { ctx, chartArea, scales } = chart;
      const { x, y } = scales;
      if (!x || !y) return;
      ctx.save();
      ctx.font = `14px ${colours.font}`;
      const besides = (text: string, atX: number, atY: number): void => {
        const right = atX + ctx.measureText(text).width + 12 < chartArea.right;
        ctx.textAlign = right ? "left" : "right";
        ctx.lineWidth = 4;
        ctx.strokeStyle = colours.sheet;
        ctx.fillStyle = colours.ink;
        ctx.setLineDash([]);
        ctx.strokeText(text, atX + (right ? 10 : -10), atY);
        ctx.fillText(text, atX + (right ? 10 : -10), atY);
      };
      for (const { dataset, series } of drawn) {
        if (series === null) continue;
        const colour = String(dataset.borderColor);
        for (const point of series.points) {
          const atX = x.getPixelForValue(point.x);
          if (series.kind === "points" && point.lower !== undefined && point.upper !== undefined) {
            const low = y.getPixelForValue(point.lower);
            const high = y.getPixelForValue(point.upper);
            ctx.setLineDash([]);
            ctx.lineWidth = 1.5;
            ctx.strokeStyle = colour;
            ctx.beginPath();
            ctx.moveTo(atX, low);
            ctx.lineTo(atX, high);
            ctx.moveTo(atX - 4, low);
            ctx.lineTo(atX + 4, low);
            ctx.moveTo(atX - 4, high);
            ctx.lineTo(atX + 4, high);
            ctx.stroke();
          }
          if (series.kind === "marks") {
            const atY = y.getPixelForValue(point.y);
            ctx.setLineDash([4, 4]);
            ctx.lineWidth = 1;
            ctx.strokeStyle = colour;
            ctx.beginPath();
            ctx.moveTo(atX, atY + 8);
            ctx.lineTo(atX, chartArea.bottom);
            ctx.stroke();
            besides(point.label ?? "", atX, atY + 20);
          }
        }
      }
      for (const line of spec.lines ?? []) {
        const atX = x.getPixelForValue(line.x);
        ctx.setLineDash([3, 4]);
        ctx.lineWidth = 1.5;
        ctx.strokeStyle = colours.ink;
        ctx.beginPath();
        ctx.moveTo(atX, chartArea.top);
        ctx.lineTo(atX, chartArea.bottom);
        ctx.stroke();
        besides(line.label, atX, chartArea.top + 14);
      }
      ctx.restore();
    },
  };
}

function axisOptions(axis: PlotSpec["x"], colours: Colours): object {
  return {
    type: "linear",
    min: axis.min,
    max: axis.max,
    title: { display: true, text: axis.label, color: colours.ink, font: { size: 15, family: colours.font } },
    grid: { color: colours.grid },
    border: { color: colours.ink },
    ticks: {
      color: colours.ink,
      font: { size: 14, family: colours.font },
      maxRotation: 0,
      autoSkipPadding: 10,
      callback: (value: number | string) => axis.ticks.find((tick) => tick.at === value)?.label ?? "",
    },
    afterBuildTicks: (scale: { ticks: { value: number }[] }) => {
      scale.ticks = axis.ticks.map((tick) => ({ value: tick.at }));
    },
  };
}

function configurationOf(spec: PlotSpec): ChartConfiguration<"line", Point[]> {
  const colours = coloursNow();
  const drawn = spec.series.flatMap((series, index) => drawnFrom(series, index, colours));
  return {
    type: "line",
    data: { datasets: drawn.map(({ dataset }) => dataset) },
    plugins: [furniture(spec, drawn, colours)],
    options: {
      animation: false,
      responsive: true,
      maintainAspectRatio: false,
      interaction: { mode: "nearest", intersect: true },
      scales: { x: axisOptions(spec.x, colours), y: axisOptions(spec.y, colours) },
      plugins: {
        legend: { display: false },
        tooltip: {
          bodyFont: { size: 14, family: colours.font },
          callbacks: {
            title: () => "",
            label: ({ datasetIndex, dataIndex, dataset }) => {
              const point = drawn[datasetIndex]?.series?.points[dataIndex];
              return point?.label ?? dataset.label ?? "";
            },
          },
        },
      },
    },
  };
}

/** A live chart in its box; `update` draws another spec, as when a slider moves. */
interface LiveChart {
  update(spec: PlotSpec): void;
}

/** Puts a live chart into `box` in place of the still picture. Chart.js is fetched only on pages that have a plot. */
async function liveChart(box: HTMLElement, first: PlotSpec): Promise<LiveChart> {
  const { Chart, Filler, LineController, LineElement, LinearScale, PointElement, Tooltip } = await import("chart.js");
  Chart.register(Filler, LineController, LineElement, LinearScale, PointElement, Tooltip);
  let spec = first;
  const canvas = document.createElement("canvas");
  canvas.setAttribute("role", "img");
  canvas.setAttribute("aria-label", `${spec.title}. ${spec.summary}`);
  box.classList.add("plot-live");
  box.append(canvas);
  let chart = new Chart(canvas, configurationOf(spec));
  const redraw = (): void => {
    chart.destroy();
    canvas.setAttribute("aria-label", `${spec.title}. ${spec.summary}`);
    chart = new Chart(canvas, configurationOf(spec));
  };
  document.addEventListener(themeChanged, redraw);
  return {
    update(next) {
      spec = next;
      redraw();
    },
  };
}

/** Brings every plot inside `root` to life; returns them in page order, keyed by the figure's id where it has one. */
export async function drawPlots(root: ParentNode): Promise<void> {
  for (const figure of root.querySelectorAll<HTMLElement>("[data-plot]:not([data-live])")) {
    const box = figure.querySelector<HTMLElement>("[data-plot-box]");
    const json = figure.querySelector("script[type='application/json']")?.textContent;
    if (box === null || !json) continue;
    figure.dataset.live = "";
    await liveChart(box, JSON.parse(json) as PlotSpec);
  }
}
