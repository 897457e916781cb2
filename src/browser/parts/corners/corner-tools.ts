// The buttons and keys beside the picture with the corners on it.

/** Corners named anew: which of the present four becomes the first, the second and so on. */
type CornerOrder = readonly [number, number, number, number];

export interface CornerTools {
  readonly zoomed: (factor: number) => void;
  readonly whole: () => void;
  readonly level: () => void;
  readonly taps: () => void;
  readonly undo: () => void;
  readonly renamed: (order: CornerOrder) => void;
}

const zoomStep = 1.5;
const otherEnd: CornerOrder = [2, 3, 0, 1];
const quarter: CornerOrder = [1, 2, 3, 0];

/** A part of the corner editor by its name. @throws TypeError when the page misses it */
export function part<Kind extends Element>(root: HTMLElement, name: string): Kind {
  const found = root.querySelector<Kind>(`[data-${name}]`);
  if (found === null) throw new TypeError(`The corner editor misses its part "${name}".`);
  return found;
}

/** Shows the buttons, and listens to them and to the keys. */
export function listenToTools(root: HTMLElement, tools: CornerTools): void {
  const press = (name: string, act: () => void): void =>
    root.querySelector(`[data-${name}]`)?.addEventListener("click", act);
  part<HTMLElement>(root, "tools").hidden = false;
  part<HTMLElement>(root, "key-help").hidden = false;
  press("zoom-in", () => tools.zoomed(zoomStep));
  press("zoom-out", () => tools.zoomed(1 / zoomStep));
  press("zoom-fit", tools.whole);
  press("level", tools.level);
  press("taps", tools.taps);
  press("undo", tools.undo);
  press("other-end", () => tools.renamed(otherEnd));
  press("quarter", () => tools.renamed(quarter));
  root.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "z") {
      event.preventDefault();
      tools.undo();
    } else if (event.key === "+" || event.key === "=") tools.zoomed(zoomStep);
    else if (event.key === "-") tools.zoomed(1 / zoomStep);
  });
}
