// What the chart library has no word for: error bars, drop lines and names of marks, and lines across.
import type { Chart, Plugin } from "chart.js";
import type { PlotPoint, PlotSpec } from "#shared/format/plot.ts";
import type { ChartColours } from "./chart-colours.ts";
import type { DrawnSet } from "./chart-series.ts";

const nameSize = 14;
/** Half the width of the foot of an error bar, and what stays free between a point and its name [px]. */
const footHalf = 4;
const nameGap = 10;
/** How far below a mark its name stands [px]. */
const nameBelow = 20;

/** What is drawn at the moment; it changes with the stretch. */
export interface DrawnNow {
  spec: PlotSpec;
  sets: readonly DrawnSet[];
  colours: ChartColours;
}

interface Board {
  readonly context: CanvasRenderingContext2D;
  readonly area: Chart["chartArea"];
  readonly colours: ChartColours;
  toX(value: number): number;
  toY(value: number): number;
}

export function furniture(now: DrawnNow): Plugin<"line"> {
  return {
    id: "furniture",
    afterDatasetsDraw({ ctx: context, chartArea: area, scales }) {
      const { x, y } = scales;
      if (!x || !y) return;
      const board: Board = {
        context,
        area,
        colours: now.colours,
        toX: (value) => x.getPixelForValue(value),
        toY: (value) => y.getPixelForValue(value),
      };
      context.save();
      context.beginPath();
      context.rect(area.left, area.top, area.width, area.height);
      context.clip();
      context.font = `${nameSize}px ${now.colours.font}`;
      for (const { series, dataset } of now.sets)
        for (const point of series.points) {
          if (series.kind === "points") drawBar(board, point, String(dataset.borderColor));
          if (series.kind === "marks") drawMark(board, point, String(dataset.borderColor));
        }
      for (const line of now.spec.lines ?? []) drawLineAcross(board, line);
      context.restore();
    },
  };
}

function stroke({ context }: Board, places: readonly (readonly [number, number, number, number])[]): void {
  context.beginPath();
  for (const [fromX, fromY, toX, toY] of places) {
    context.moveTo(fromX, fromY);
    context.lineTo(toX, toY);
  }
  context.stroke();
}

function drawBar(board: Board, { x, lower, upper }: PlotPoint, colour: string): void {
  if (lower === undefined || upper === undefined) return;
  const [atX, low, high] = [board.toX(x), board.toY(lower), board.toY(upper)];
  const { context } = board;
  context.setLineDash([]);
  context.lineWidth = 1.5;
  context.strokeStyle = colour;
  stroke(board, [
    [atX, low, atX, high],
    [atX - footHalf, low, atX + footHalf, low],
    [atX - footHalf, high, atX + footHalf, high],
  ]);
}

function drawMark(board: Board, { x, y, label }: PlotPoint, colour: string): void {
  const [atX, atY] = [board.toX(x), board.toY(y)];
  const { context } = board;
  context.setLineDash([4, 4]);
  context.lineWidth = 1;
  context.strokeStyle = colour;
  stroke(board, [[atX, atY + 8, atX, board.area.bottom]]);
  const hasRoomBelow = atY + nameBelow < board.area.bottom;
  writeBeside(board, label ?? "", atX, atY + (hasRoomBelow ? nameBelow : -nameSize));
}

function drawLineAcross(board: Board, { x, label }: { readonly x: number; readonly label: string }): void {
  const atX = board.toX(x);
  const { context, area, colours } = board;
  if (atX < area.left || atX > area.right) return;
  context.setLineDash([3, 4]);
  context.lineWidth = 1.5;
  context.strokeStyle = colours.ink;
  stroke(board, [[atX, area.top, atX, area.bottom]]);
  writeBeside(board, label, atX, area.top + nameSize);
}

/** Words on the sheet beside a place, on the side that has room. */
function writeBeside({ context, area, colours }: Board, text: string, atX: number, atY: number): void {
  const isRight = atX + context.measureText(text).width + nameGap + 2 < area.right;
  const x = atX + (isRight ? nameGap : -nameGap);
  context.textAlign = isRight ? "left" : "right";
  context.setLineDash([]);
  context.lineWidth = 4;
  context.strokeStyle = colours.sheet;
  context.fillStyle = colours.ink;
  context.strokeText(text, x, atY);
  context.fillText(text, x, atY);
}
