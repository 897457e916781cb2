// Sends a form's picture ahead and says how far it is; then the form goes out by itself, with the picture's name
// instead of the picture.
import { releaseForm } from "./form-guard.ts";

interface KeptPicture {
  readonly pictureId: string;
}

/** Sends one picture; `progress` gets the share sent, 0-1. Rejects with plain words. */
function sendPicture(file: File, progress: (share: number) => void): Promise<KeptPicture> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    const body = new FormData();
    body.append("photo", file);
    request.open("POST", "/pictures");
    request.setRequestHeader("accept", "application/json");
    request.responseType = "json";
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable) progress(event.loaded / event.total);
    });
    request.upload.addEventListener("load", () => progress(1));
    request.addEventListener("load", () => {
      const answer = request.response as (KeptPicture & { detail?: string }) | null;
      if (request.status === 201 && answer !== null) resolve(answer);
      else reject(new Error(answer?.detail ?? "The answer could not be understood. Nothing is lost: send it again."));
    });
    request.addEventListener("error", () =>
      reject(
        new Error(
          "The server does not answer. Nothing typed is lost: check that Wedgewright is running and send again.",
        ),
      ),
    );
    request.send(body);
  });
}

/** Takes over the sending of a form with a picture field. */
export function sendWithProgress(form: HTMLFormElement): void {
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
    sendPicture(file, (share) => {
      bar.value = 100 * share;
    }).then(
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
