// A plot looked at closer: large in a dialog, a stretch of it by two sliders, its series one by one.
import { axisWords, plotStretch, type PlotStretch } from "#shared/format/plot-stretch.ts";
import type { PlotSeries, PlotSpec } from "#shared/format/plot.ts";
import { stretchWords } from "#shared/words/stretch-words.ts";
import { liveChart } from "./chart.ts";

/** Places of a slider, and the shortest stretch in such places. */
const sliderEnd = 200;
const shortest = 4;

interface Choice {
  readonly from: HTMLInputElement;
  readonly to: HTMLInputElement;
  readonly isShown: readonly HTMLInputElement[];
}

/** Opens the dialog over the page; the button that asked has the focus again when it closes. */
export function lookCloser(button: HTMLElement, json: string): void {
  // Our own server wrote it into this page (views/partials/plot.ejs, views/tests/_curve.ejs).
  const spec = JSON.parse(json) as PlotSpec;
  const { dialog, canvas, told, whole, close, choice } = dialogOf(spec);
  document.body.append(dialog);
  dialog.showModal();
  const chart = liveChart(canvas, spec);
  const show = (): void => {
    const stretch = stretchOf(spec, choice);
    for (const slider of [choice.from, choice.to])
      slider.setAttribute("aria-valuetext", axisWords(spec.x, placeOf(spec, slider)));
    const words = stretchWords(spec.x, stretch);
    told.textContent = `Shown: ${words}`;
    canvas.setAttribute("aria-label", `${spec.title}. ${spec.summary} Shown here: ${words}`);
    chart.draw(plotStretch(spec, stretch, shownSeries(spec, choice)));
  };
  choice.from.addEventListener("input", () => {
    choice.from.value = String(Math.min(choice.from.valueAsNumber, choice.to.valueAsNumber - shortest));
    show();
  });
  choice.to.addEventListener("input", () => {
    choice.to.value = String(Math.max(choice.to.valueAsNumber, choice.from.valueAsNumber + shortest));
    show();
  });
  for (const box of choice.isShown) box.addEventListener("change", show);
  whole.addEventListener("click", () => {
    [choice.from.value, choice.to.value] = ["0", String(sliderEnd)];
    show();
  });
  const night = matchMedia("(prefers-color-scheme: dark)");
  night.addEventListener("change", show);
  close.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => {
    night.removeEventListener("change", show);
    chart.destroy();
    dialog.remove();
    button.focus();
  });
  show();
}

function placeOf({ x }: PlotSpec, slider: HTMLInputElement): number {
  return x.min + (slider.valueAsNumber / sliderEnd) * (x.max - x.min);
}

function stretchOf(spec: PlotSpec, { from, to }: Choice): PlotStretch {
  return { from: placeOf(spec, from), to: placeOf(spec, to) };
}

function lookOf({ series }: PlotSpec, each: PlotSeries): number {
  return each.look ?? series.indexOf(each) + 1;
}

function keyedSeries({ series }: PlotSpec): PlotSeries[] {
  return series.filter(({ unkeyed }) => unkeyed !== true);
}

/** The series that are ticked, and those without a tick of their own that share their look. */
function shownSeries(spec: PlotSpec, { isShown }: Choice): PlotSeries[] {
  const withLook = spec.series.map((each) => ({ ...each, look: lookOf(spec, each) }));
  const off = keyedSeries(spec).filter((_, index) => isShown[index]?.checked === false);
  const looksOff = off.map((each) => lookOf(spec, each));
  return withLook.filter(({ look, unkeyed }, index) => {
    const each = spec.series[index];
    return unkeyed === true ? !looksOff.includes(look) : each === undefined || !off.includes(each);
  });
}

interface Parts {
  readonly dialog: HTMLDialogElement;
  readonly canvas: HTMLCanvasElement;
  readonly told: HTMLElement;
  readonly whole: HTMLButtonElement;
  readonly close: HTMLButtonElement;
  readonly choice: Choice;
}

function dialogOf(spec: PlotSpec): Parts {
  const title = made("h2", { id: "closer-title", textContent: spec.title });
  const close = made("button", { type: "button", className: "button quiet", textContent: "Close" });
  const canvas = made("canvas", {});
  canvas.setAttribute("role", "img");
  const told = made("p", { className: "closer-told" });
  told.setAttribute("role", "status");
  const from = slider("From", 0);
  const to = slider("To", sliderEnd);
  const whole = made("button", { type: "button", className: "button quiet", textContent: "Whole plot" });
  const keyed = keyedSeries(spec);
  const ticks = keyed.map((each) => tickOf(each.name, lookOf(spec, each)));
  const inner = made("div", { className: "closer-inner" });
  inner.append(
    within("div", "closer-head", [title, close]),
    within("div", "closer-canvas", [canvas]),
    told,
    within("div", "closer-sliders", [from.label, to.label, whole]),
  );
  if (keyed.length > 1) {
    const fieldset = within("fieldset", "closer-series", [made("legend", { textContent: "Show" })]);
    fieldset.append(...ticks.map(({ label }) => label));
    inner.append(fieldset);
  }
  const dialog = made("dialog", { className: "closer no-print" });
  dialog.setAttribute("aria-labelledby", title.id);
  dialog.append(inner);
  const choice = { from: from.input, to: to.input, isShown: ticks.map(({ input }) => input) };
  return { dialog, canvas, told, whole, close, choice };
}

function slider(words: string, value: number): { label: HTMLElement; input: HTMLInputElement } {
  const input = made("input", { type: "range", min: "0", max: String(sliderEnd), step: "1" });
  input.value = String(value);
  const label = made("label", { textContent: words });
  label.append(input);
  return { label, input };
}

function tickOf(name: string, look: number): { label: HTMLElement; input: HTMLInputElement } {
  const input = made("input", { type: "checkbox", checked: true });
  const label = within("label", `choice look-${((look - 1) % 6) + 1}`, [input, made("span", { textContent: name })]);
  return { label, input };
}

function within<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  className: string,
  parts: readonly Node[],
): HTMLElementTagNameMap[Name] {
  const element = document.createElement(name);
  element.className = className;
  element.append(...parts);
  return element;
}

function made<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  properties: Partial<HTMLElementTagNameMap[Name]>,
): HTMLElementTagNameMap[Name] {
  return Object.assign(document.createElement(name), properties);
}
