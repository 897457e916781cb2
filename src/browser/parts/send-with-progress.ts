// Sends a form's picture ahead and says how far it is; then the form goes out by itself, with the picture's name
// instead of the picture.
import { releaseForm } from "./form-guard.ts";
import type { PhotoLook } from "./photo-look.ts";
import { sendPicture } from "./send-picture.ts";

/** Takes over the sending of a form with a picture field. */
export function sendWithProgress(form: HTMLFormElement, look: PhotoLook | null): void {
  const box = form.querySelector<HTMLElement>("[data-upload-progress]");
  const bar = box?.querySelector("progress");
  const words = form.querySelector<HTMLElement>("[data-upload-words]");
  const trouble = form.querySelector<HTMLElement>("[data-upload-error]");
  const photo = form.querySelector<HTMLInputElement>("[data-photo-input]");
  if (!box || !bar || !words || !trouble || !photo) return;

  const reading = (): void => {
    bar.removeAttribute("value");
    words.textContent = "Reading the picture …";
    box.hidden = false;
  };
  const kept = (): HTMLInputElement => {
    const found = form.querySelector<HTMLInputElement>("input[name=pictureId]");
    if (found !== null) return found;
    const field = document.createElement("input");
    field.type = "hidden";
    field.name = "pictureId";
    form.append(field);
    return field;
  };

  form.addEventListener("submit", (event) => {
    if (form.dataset.sent === "yes") {
      event.preventDefault();
      return;
    }
    const file = photo.files?.[0];
    if (file === undefined) {
      reading();
      return;
    }
    event.preventDefault();
    form.dataset.sent = "yes";
    form.setAttribute("aria-busy", "true");
    for (const button of form.querySelectorAll("button[type=submit]")) button.setAttribute("aria-disabled", "true");
    trouble.hidden = true;
    box.hidden = false;
    bar.value = 0;
    words.textContent = "Sending the picture …";
    const progress = (share: number): void => {
      bar.value = 100 * share;
    };
    (look?.kept(file, progress) ?? sendPicture(file, progress)).then(
      ({ pictureId }) => {
        kept().value = pictureId;
        photo.disabled = true;
        reading();
        form.submit();
      },
      (error: unknown) => {
        form.removeAttribute("aria-busy");
        releaseForm(form);
        box.hidden = true;
        trouble.hidden = false;
        trouble.textContent = error instanceof Error ? error.message : "The picture could not be sent.";
      },
    );
  });

  // Coming back to this page finds the form as it was, ready to be sent again.
  window.addEventListener("pageshow", () => {
    photo.disabled = false;
    box.hidden = true;
    form.removeAttribute("aria-busy");
  });
}
