// The corners page: handles over the picture, measured anew as they move.
import { formatDensity } from "#shared/format/number.ts";
import { placeDoubts } from "#shared/reading/corners/place-doubts.ts";
import type { Corners, Reading, Tablet } from "#shared/schema/reading.ts";
import { cornerEditor } from "./parts/corners/corner-editor.ts";
import { liveReading } from "./parts/live/live-reading.ts";
import { typedCorners } from "./parts/corners/typed-corners.ts";
import { pageData } from "./parts/page-data.ts";

interface CornersData {
  readonly pictureId: string;
  readonly width: number;
  readonly height: number;
  readonly corners: Corners;
  readonly tablet: Tablet;
  readonly steps: number | null;
  readonly reading: Reading | null;
  readonly begins: "level" | "taps";
}

function element<Kind extends HTMLElement>(selector: string): Kind {
  const found = document.querySelector<Kind>(selector);
  if (found === null) throw new TypeError(`The corners page misses ${selector}.`);
  return found;
}

const data = pageData<CornersData>();
const root = element<HTMLElement>("[data-corner-editor]");
const state = element<HTMLElement>("[data-live-state]");
const problem = element<HTMLElement>("[data-live-problem]");
const doubts = element<HTMLElement>("[data-live-doubts]");
const doubtsWords = element<HTMLElement>("[data-live-doubts-words]");
const list = element<HTMLOListElement>("[data-live-steps]");
const numbers = element<HTMLDetailsElement>("[data-corner-numbers]");

function fields(): HTMLInputElement[][] {
  return [0, 1, 2, 3].map((corner) =>
    [0, 1].map((axis) => element<HTMLInputElement>(`[name="corners.${corner}.${axis}"]`)),
  );
}

function writeFields(corners: Corners): void {
  fields().forEach((pair, corner) =>
    pair.forEach((field, axis) => {
      field.value = String(Math.round((corners[corner]?.[axis] ?? 0) * 10) / 10);
    }),
  );
}

/** What the reading says of the place. The words change only when they are others, so that they are read out once. */
function showDoubts(sentences: readonly string[]): void {
  doubts.hidden = sentences.length === 0;
  const shown = [...doubtsWords.children].map(({ textContent }) => textContent);
  if (shown.join("\n") === sentences.join("\n")) return;
  doubtsWords.replaceChildren(
    ...sentences.map((sentence) => {
      const paragraph = document.createElement("p");
      paragraph.textContent = sentence;
      return paragraph;
    }),
  );
}

function showReading(reading: Reading): void {
  state.textContent = `${reading.steps.length} steps measured.`;
  problem.hidden = true;
  showDoubts(placeDoubts(reading.warnings));
  list.classList.remove("stale");
  if (reading.warnings.some(({ code }) => code === "corners-reordered")) {
    editor.numberedAs(reading.location.corners);
    writeFields(editor.corners());
  }
  list.replaceChildren(
    ...reading.steps.map((step) => {
      const row = document.createElement("li");
      row.classList.toggle("flagged", step.flags.length > 0);
      const add = (className: string, text: string): void => {
        const span = document.createElement("span");
        span.className = className;
        span.textContent = text;
        row.append(span);
      };
      add("live-index", String(step.index));
      add("live-density", formatDensity(step.red));
      if (step.flags.length > 0) add("live-flags", step.flags.join(", ").replaceAll("-", " "));
      return row;
    }),
  );
  editor.showBoxes(
    reading.steps.map((step) => ({
      box: step.box,
      flags: step.flags,
      label:
        `Step ${step.index}: red density ${formatDensity(step.red)}` +
        (step.flags.length > 0 ? ` (${step.flags.join(", ")})` : ""),
    })),
  );
}

const measure = liveReading({
  pictureId: data.pictureId,
  tablet: data.tablet,
  measured: showReading,
  refused(detail) {
    state.textContent = "";
    problem.hidden = false;
    problem.textContent = detail;
    showDoubts([]);
    list.replaceChildren();
  },
  busy() {
    state.textContent = "Measuring …";
    list.classList.add("stale");
  },
});

const editor = cornerEditor({
  root,
  picture: { width: data.width, height: data.height },
  corners: data.corners,
  steps: data.steps,
  hasWhole: true,
  begins: data.begins,
  changed(corners, settled) {
    writeFields(corners);
    measure(corners, settled);
  },
});

numbers.open = false;
numbers.addEventListener("change", () => {
  const typed = typedCorners(fields().map((pair) => pair.map((field) => field.valueAsNumber)));
  if (typed !== null) editor.setCorners(typed);
});

if (data.reading !== null) showReading(data.reading);
else if (data.tablet.kind !== "sheet" && data.begins === "level") measure(data.corners, true);
