// One file field, three ways to fill it: choose, drop, or the phone's camera. Shows what was chosen.
import { writtenFixed } from "#shared/format/number.ts";

/** Larger files are not shown before sending, so that a phone keeps its memory. */
const largestShownBytes = 40_000_000;

export function photoPicker(root: HTMLElement): void {
  const input = root.querySelector<HTMLInputElement>("[data-photo-input]");
  if (input === null) return;
  const chosen = root.querySelector<HTMLElement>("[data-photo-chosen]");
  const image = root.querySelector<HTMLImageElement>("[data-photo-image]");
  const words = root.querySelector<HTMLElement>("[data-photo-words]");
  let shownUrl = "";

  const show = (): void => {
    const file = input.files?.[0];
    if (shownUrl !== "") URL.revokeObjectURL(shownUrl);
    shownUrl = "";
    if (chosen === null || image === null || words === null) return;
    chosen.hidden = file === undefined;
    if (file === undefined) return;
    words.textContent = `${file.name}, ${writtenFixed(file.size / 1e6, 1)} MB`;
    const canShow = file.size < largestShownBytes && /^image\/(jpeg|png|webp)$/.test(file.type);
    image.hidden = !canShow;
    if (canShow) {
      shownUrl = URL.createObjectURL(file);
      image.src = shownUrl;
    }
  };
  const take = (files: FileList | null): void => {
    const file = files?.[0];
    if (file === undefined) return;
    const one = new DataTransfer();
    one.items.add(file);
    input.files = one.files;
    input.dispatchEvent(new Event("change", { bubbles: true }));
  };
  input.addEventListener("change", show);
  // What the browser cannot draw leaves no broken picture beside the sentence that says why.
  image?.addEventListener("error", () => (image.hidden = true));

  const drop = root.querySelector<HTMLElement>("[data-photo-drop]");
  if (drop !== null && matchMedia("(pointer: fine)").matches) drop.hidden = false;
  root.addEventListener("dragover", (event) => {
    event.preventDefault();
    root.classList.add("over");
  });
  root.addEventListener("dragleave", () => root.classList.remove("over"));
  root.addEventListener("drop", (event) => {
    event.preventDefault();
    root.classList.remove("over");
    take(event.dataTransfer?.files ?? null);
  });

  const camera = root.querySelector<HTMLInputElement>("[data-camera-input]");
  const cameraLabel = root.querySelector<HTMLElement>("[data-camera]");
  if (camera !== null && cameraLabel !== null && matchMedia("(pointer: coarse)").matches) {
    camera.disabled = false;
    camera.hidden = false;
    camera.tabIndex = 0;
    cameraLabel.hidden = false;
    camera.addEventListener("change", () => take(camera.files));
  }
  show();
}
