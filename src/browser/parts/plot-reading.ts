// The figures of a plot: of the point under the pointer or the finger, or chosen by the arrow keys, in words below it.
// It listens on the whole page, since a part of a page that is renewed brings its own new plots.
import {
  nearestPoint,
  pointAfterKey,
  readPoints,
  type ReadPlace,
  type ReadPoint,
} from "#shared/format/plot-reading.ts";
import type { PlotSpec } from "#shared/format/plot.ts";

const ringRadius = 8;

interface PlotAtHand {
  readonly series: readonly (readonly ReadPoint[])[];
  chosen: ReadPlace | null;
}

/** Drawings that were read before, with the point that was chosen last. */
const atHand = new WeakMap<SVGSVGElement, PlotAtHand>();

export function tellPlotFigures(): void {
  document.addEventListener("pointermove", tellUnderPointer);
  document.addEventListener("pointerdown", tellUnderPointer);
  document.addEventListener("keydown", (event) => {
    const drawing = drawingOf(event.target);
    if (drawing === null) return;
    const plot = plotOf(drawing);
    const next = pointAfterKey(plot.series, plot.chosen, event.key);
    if (next === null) return;
    event.preventDefault();
    choose(drawing, plot, next);
  });
  letKeysReach();
  document.addEventListener("live-part", letKeysReach);
}

/** Without script a plot has nothing to do for a key. */
function letKeysReach(): void {
  for (const drawing of document.querySelectorAll(".plot-still")) drawing.setAttribute("tabindex", "0");
}

function drawingOf(target: EventTarget | null): SVGSVGElement | null {
  return target instanceof Element ? target.closest<SVGSVGElement>("[data-plot] .plot-still") : null;
}

function plotOf(drawing: SVGSVGElement): PlotAtHand {
  const known = atHand.get(drawing);
  if (known !== undefined) return known;
  const json = drawing.closest("[data-plot]")?.querySelector("script[type='application/json']")?.textContent;
  const [left = 0, top = 0, right = 0, bottom = 0] = (drawing.dataset["frame"] ?? "").split(" ").map(Number);
  // Our own server wrote it into this page (views/partials/plot.ejs).
  const spec = json ? (JSON.parse(json) as PlotSpec) : null;
  const plot = { series: spec === null ? [] : readPoints(spec, { left, top, right, bottom }), chosen: null };
  atHand.set(drawing, plot);
  return plot;
}

function tellUnderPointer(event: PointerEvent): void {
  const drawing = drawingOf(event.target);
  const matrix = drawing?.getScreenCTM();
  if (drawing === null || !matrix) return;
  const place = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  const plot = plotOf(drawing);
  const nearest = nearestPoint(plot.series, place);
  if (nearest !== null) choose(drawing, plot, nearest);
}

function choose(drawing: SVGSVGElement, plot: PlotAtHand, place: ReadPlace): void {
  if (plot.chosen?.series === place.series && plot.chosen.index === place.index) return;
  plot.chosen = place;
  const point = plot.series[place.series]?.[place.index];
  const told = drawing.closest("[data-plot]")?.querySelector("[data-plot-reading]");
  if (point === undefined || !told) return;
  told.textContent = point.words;
  const ring = drawing.querySelector(".plot-chosen") ?? drawing.appendChild(newRing());
  ring.setAttribute("cx", String(point.x));
  ring.setAttribute("cy", String(point.y));
}

function newRing(): SVGCircleElement {
  const ring = document.createElementNS("http://www.w3.org/2000/svg", "circle");
  ring.setAttribute("class", "plot-chosen");
  ring.setAttribute("r", String(ringRadius));
  return ring;
}
