// Sends a form's pictures ahead and says how far they are; then the form goes out by itself, with the pictures' names
// instead of the pictures.
import { releaseForm } from "./form-guard.ts";
import type { PhotoLook } from "./photo-look.ts";

/** A field for pictures, and the form's own fields that name those which are kept. */
export interface PictureField {
  readonly look: PhotoLook;
  /** Name of the field for the picture with that number, from 0. */
  readonly nameOf: (number: number) => string;
}

/** Takes over the sending of a form with pictures. */
export function sendWithProgress(form: HTMLFormElement, fields: readonly PictureField[]): void {
  const box = form.querySelector<HTMLElement>("[data-upload-progress]");
  const bar = box?.querySelector("progress");
  const words = form.querySelector<HTMLElement>("[data-upload-words]");
  const trouble = form.querySelector<HTMLElement>("[data-upload-error]");
  if (!box || !bar || !words || !trouble) return;
  let undoNames: (() => void)[] = [];

  const reading = (): void => {
    bar.removeAttribute("value");
    words.textContent = "Reading the picture …";
    box.hidden = false;
  };

  /** Sends all that are chosen, and names them in the form in place of those kept before. */
  const sendAll = async (filled: readonly PictureField[]): Promise<void> => {
    const count = filled.reduce((sum, { look }) => sum + look.files().length, 0);
    let sent = 0;
    const named: { readonly field: PictureField; readonly ids: string[] }[] = [];
    for (const field of filled) {
      const ids: string[] = [];
      for (const file of field.look.files()) {
        words.textContent = count === 1 ? "Sending the picture …" : `Sending picture ${sent + 1} of ${count} …`;
        const { pictureId } = await field.look.kept(file, (share) => (bar.value = (100 * (sent + share)) / count));
        ids.push(pictureId);
        sent++;
      }
      named.push({ field, ids });
    }
    undoNames = named.map(({ field, ids }) => nameInForm(form, field, ids));
  };

  form.addEventListener("submit", (event) => {
    if (form.dataset.sent === "yes") {
      event.preventDefault();
      return;
    }
    const filled = fields.filter(({ look }) => look.files().length > 0);
    if (filled.length === 0) {
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
    sendAll(filled).then(
      () => {
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
    for (const undo of undoNames) undo();
    undoNames = [];
    box.hidden = true;
    form.removeAttribute("aria-busy");
  });
}

/** Names kept pictures in hidden fields, instead of files and of what was kept before. Gives what takes that back. */
function nameInForm(form: HTMLFormElement, { look, nameOf }: PictureField, ids: readonly string[]): () => void {
  const mostNamed = 1 + Number(look.input.dataset.mostFiles ?? 0);
  const names = new Set(Array.from({ length: mostNamed }, (_, i) => nameOf(i)));
  const before = [...form.querySelectorAll<HTMLInputElement>("input")].filter(({ name }) => names.has(name));
  const replaced = [look.input, ...before];
  for (const field of replaced) field.disabled = true;
  const made = ids.map((id, i) => {
    const field = document.createElement("input");
    field.type = "hidden";
    field.name = nameOf(i);
    field.value = id;
    form.append(field);
    return field;
  });
  return () => {
    for (const field of made) field.remove();
    for (const field of replaced) field.disabled = false;
  };
}
