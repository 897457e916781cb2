// The corners of an exposed area: handles over the picture, written into the fields of the form.
import type { Corners } from "#shared/schema/reading.ts";
import { cornerEditor } from "./parts/corners/corner-editor.ts";
import { pageData } from "./parts/page-data.ts";

const data = pageData<{ width: number; height: number; corners: Corners }>();
const root = document.querySelector<HTMLElement>("[data-corner-editor]");
const numbers = document.querySelector<HTMLDetailsElement>("[data-corner-numbers]");
const field = (corner: number, axis: number): HTMLInputElement | null =>
  document.querySelector(`input[name="corners.${corner}.${axis}"]`);

if (root !== null) {
  cornerEditor({
    root,
    picture: data,
    corners: data.corners,
    steps: null,
    changed(corners) {
      corners.forEach((point, corner) =>
        point.forEach((value, axis) => {
          const input = field(corner, axis);
          if (input !== null) input.value = String(Math.round(value * 10) / 10);
        }),
      );
    },
  });
  if (numbers !== null) numbers.open = false;
}
