// Every plot of a page to take away, under the page's own address: its number and the kind of file in the query.
import type { Request, RequestHandler, Response } from "express";
import { InputError } from "#shared/errors.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import { paintDrawing, plotCsv } from "#src/studio/paint-plot.ts";
import type { Tools } from "#src/studio/tools.ts";
import { aloneStyle, asFile, drawn } from "./drawing.ts";
import { svgPlot } from "./svg-plot.ts";

const kinds = ["svg", "png", "csv"] as const;
type FileKind = (typeof kinds)[number];

/** How deep in a view object plots are looked for. */
const deepest = 6;

function isPlot(value: object): value is PlotSpec {
  return "series" in value && "summary" in value && "x" in value && "y" in value && Array.isArray(value.series);
}

/** The plots of a page's view object, in its order. */
export function plotsIn(view: unknown, depth = 0): PlotSpec[] {
  if (typeof view !== "object" || view === null || depth > deepest || ArrayBuffer.isView(view)) return [];
  if (isPlot(view)) return [view];
  return Object.values(view).flatMap((each) => plotsIn(each, depth + 1));
}

export interface PlotLink {
  readonly label: string;
  readonly href: string;
}

/** Links to the files of a plot; none where the page cannot be asked for again by its address. */
export function plotLinks(request: Request, place: number): PlotLink[] {
  if (request.method !== "GET" || place < 0) return [];
  const address = new URL(request.originalUrl, "http://here");
  address.searchParams.set("plot", String(place));
  return kinds.map((kind) => {
    address.searchParams.set("as", kind);
    return { label: kind.toUpperCase(), href: `${address.pathname}${address.search}` };
  });
}

/** What a request wants of a page instead of the page itself. */
export function plotWanted({ method, query }: Request): { readonly place: number; readonly kind: FileKind } | null {
  const kind = kinds.find((each) => each === query["as"]);
  const place = Number(query["plot"]);
  return method === "GET" && kind !== undefined && Number.isInteger(place) ? { place, kind } : null;
}

/** Gives what draws a picture of a drawing to the pages behind it. */
export function plotPainter(tools: Pick<Tools, "imaging">): RequestHandler {
  return (_request, response, next) => {
    response.locals["paint"] = (svg: string) => paintDrawing(tools, svg);
    next();
  };
}

/** Answers with a plot of the view as a file. */
export async function sendPlot(
  response: Response,
  view: object,
  wanted: { place: number; kind: FileKind },
): Promise<void> {
  const plot = plotsIn(view)[wanted.place];
  if (plot === undefined) throw new InputError("not-found", "This page has no such plot.");
  const named = (): Response => asFile(response, [plot.title], wanted.kind);
  if (wanted.kind === "csv") {
    named().send(plotCsv(plot));
    return;
  }
  const svg = await drawn(response.app, "partials/plot-drawing", { plot, drawing: svgPlot(plot), style: aloneStyle });
  if (wanted.kind === "svg") {
    named().send(svg);
    return;
  }
  const paint = response.locals["paint"] as (svg: string) => Promise<Uint8Array>;
  named().send(Buffer.from(await paint(svg)));
}
