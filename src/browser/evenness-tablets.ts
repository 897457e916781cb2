// Marking several tablets in one picture, one after another, and showing on a plan of the bed where each lay.
import type { Corners } from "#shared/schema/reading.ts";
import { cornerEditor } from "./parts/corners/corner-editor.ts";
import { typedCorners } from "./parts/corners/typed-corners.ts";
import { pageData } from "./parts/page-data.ts";

interface Row {
  readonly key: string;
  readonly name: string;
  readonly short: string;
  readonly corners: Corners;
  readonly hasPlace: boolean;
}

interface TabletsData {
  readonly width: number;
  readonly height: number;
  readonly steps: number | null;
  readonly bed: { readonly widthMm: number; readonly heightMm: number };
  readonly rows: readonly Row[];
}

const data = pageData<TabletsData>();
const root = document.querySelector<HTMLElement>("[data-corner-editor]");
const form = document.querySelector<HTMLFormElement>("[data-tablets-form]");
const plan = document.querySelector<SVGSVGElement>("[data-plan-picture]");

const input = (name: string): HTMLInputElement | null =>
  form?.querySelector<HTMLInputElement>(`input[name="${name}"]`) ?? null;
const rowElement = (key: string): HTMLElement | null => form?.querySelector<HTMLElement>(`[data-row="${key}"]`) ?? null;
const cornersByKey = new Map(data.rows.map((row) => [row.key, row.corners]));
let marked = form?.querySelector<HTMLInputElement>('input[name="marked"]:checked')?.value ?? data.rows[0]?.key ?? "";

function writeCorners(key: string, corners: Corners): void {
  cornersByKey.set(key, corners);
  corners.forEach((point, corner) =>
    point.forEach((value, axis) => {
      const field = input(`${key}.corners.${corner}.${axis}`);
      if (field !== null) field.value = String(Math.round(value * 10) / 10);
    }),
  );
}

function drawPlan(): void {
  for (const { key, hasPlace } of data.rows) {
    const spot = plan?.querySelector(`[data-plan-spot="${key}"]`);
    if (!hasPlace || !spot) continue;
    const [left, back] = [input(`${key}.leftMm`)?.valueAsNumber ?? NaN, input(`${key}.backMm`)?.valueAsNumber ?? NaN];
    if (Number.isFinite(left) && Number.isFinite(back)) spot.setAttribute("transform", `translate(${left} ${back})`);
    spot.classList.toggle("marked", key === marked);
  }
}

/** A press on the plan lays the chosen tablet there; the fields do the same from the keyboard. */
function layByPressing(picture: SVGSVGElement): void {
  picture.addEventListener("click", (event) => {
    const box = picture.getBoundingClientRect();
    const [left, back] = [input(`${marked}.leftMm`), input(`${marked}.backMm`)];
    if (left === null || back === null) return;
    left.value = String(Math.round(((event.clientX - box.left) / box.width) * data.bed.widthMm));
    back.value = String(Math.round(((event.clientY - box.top) / box.height) * data.bed.heightMm));
    drawPlan();
  });
}

if (root !== null && form !== null) {
  const editor = cornerEditor({
    root,
    picture: data,
    corners: cornersByKey.get(marked) ?? data.rows[0]!.corners,
    steps: null,
    hasWhole: true,
    changed: (corners) => writeCorners(marked, corners),
  });

  const nextPart = form.querySelector<HTMLElement>("[data-next-part]");
  const nextButton = form.querySelector<HTMLButtonElement>("[data-next]");
  const nextRow = (): Row | undefined => data.rows[data.rows.findIndex(({ key }) => key === marked) + 1];

  const turnTo = (key: string): void => {
    marked = key;
    const corners = cornersByKey.get(key);
    if (corners === undefined) return;
    editor.turnTo({
      corners,
      steps: key === "bed" ? null : data.steps,
      others: data.rows
        .filter((row) => row.key !== key)
        .map((row) => ({ name: row.short, corners: cornersByKey.get(row.key) ?? row.corners })),
    });
    for (const row of data.rows) rowElement(row.key)?.classList.toggle("marked", row.key === key);
    const next = nextRow();
    if (nextPart !== null) nextPart.hidden = next === undefined;
    if (nextButton !== null && next !== undefined) nextButton.textContent = `Next: ${next.name}`;
    drawPlan();
  };

  for (const row of data.rows) {
    const element = rowElement(row.key);
    element?.querySelector("[data-row-name]")?.setAttribute("hidden", "");
    element?.querySelector("[data-row-choice]")?.removeAttribute("hidden");
    const numbers = element?.querySelector<HTMLDetailsElement>("[data-corner-numbers]");
    if (numbers) numbers.open = false;
    numbers?.addEventListener("change", () => {
      const typed = typedCorners(
        row.corners.map((_, corner) =>
          [0, 1].map((axis) => input(`${row.key}.corners.${corner}.${axis}`)?.valueAsNumber ?? NaN),
        ),
      );
      if (typed === null) return;
      cornersByKey.set(row.key, typed);
      turnTo(marked);
    });
  }
  form.addEventListener("change", (event) => {
    const field = event.target as HTMLInputElement;
    if (field.name === "marked") turnTo(field.value);
  });
  nextButton?.addEventListener("click", () => {
    const choice = form.querySelector<HTMLInputElement>(`input[name="marked"][value="${nextRow()?.key ?? marked}"]`);
    if (choice === null) return;
    choice.checked = true;
    turnTo(choice.value);
  });
  form.addEventListener("input", drawPlan);
  if (plan !== null) layByPressing(plan);
  turnTo(marked);
}
