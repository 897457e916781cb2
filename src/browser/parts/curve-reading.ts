// The figures of the step under the pointer or chosen by the arrow keys, in words below the curve. It listens on the
// whole page, since a part of a page that is renewed brings its own new drawing.

interface Marker {
  readonly x: number;
  readonly label: string;
  readonly element: SVGElement;
}

export function tellCurveFigures(): void {
  document.addEventListener("pointermove", (event) => tellAt(event));
  document.addEventListener("pointerdown", (event) => tellAt(event));
  document.addEventListener("keydown", (event) => {
    const drawing = drawingOf(event.target);
    const steps: Partial<Record<string, number>> = { ArrowLeft: -1, ArrowRight: 1 };
    const by = steps[event.key];
    if (drawing === null || by === undefined) return;
    event.preventDefault();
    const markers = markersOf(drawing);
    choose(drawing, markers, markers.findIndex(({ element }) => element.classList.contains("chosen")) + by);
  });
}

function drawingOf(target: EventTarget | null): SVGSVGElement | null {
  return target instanceof Element ? target.closest<SVGSVGElement>("[data-curve-figure] .curve-drawing") : null;
}

function tellAt(event: PointerEvent): void {
  const drawing = drawingOf(event.target);
  if (drawing === null) return;
  const markers = markersOf(drawing);
  const { left, width } = drawing.getBoundingClientRect();
  const x = ((event.clientX - left) / width) * drawing.viewBox.baseVal.width;
  const ways = markers.map((marker) => Math.abs(marker.x - x));
  choose(drawing, markers, ways.indexOf(Math.min(...ways)));
}

/** The measured steps from left to right. */
function markersOf(drawing: SVGSVGElement): Marker[] {
  return [...drawing.querySelectorAll<SVGGraphicsElement>(".plot-points .plot-marker")]
    .map((element): Marker => {
      const { x, width } = element.getBBox();
      return { x: x + width / 2, label: element.querySelector("title")?.textContent ?? "", element };
    })
    .sort((a, b) => a.x - b.x);
}

function choose(drawing: SVGSVGElement, markers: readonly Marker[], index: number): void {
  const chosen = markers[Math.min(markers.length - 1, Math.max(0, index))];
  const told = drawing.closest("[data-curve-figure]")?.querySelector("[data-curve-reading]");
  for (const { element } of markers) element.classList.toggle("chosen", element === chosen?.element);
  if (told) told.textContent = chosen?.label ?? "";
}
