// The new-test page: picture by drop, file or camera, with a preview and the progress of sending.
import { offsetText } from "#shared/sun/local-clock.ts";
import { keepFoldsSaying } from "./parts/fold-says.ts";
import { sendWithProgress } from "./parts/send-with-progress.ts";
import { arrangeSunConditions } from "./parts/sun-conditions.ts";
import { lookAtPhoto } from "./parts/photo-look.ts";
import { photoPicker } from "./parts/photo-picker.ts";

const offsetField = document.querySelector<HTMLInputElement>("[data-utc-offset]");
if (offsetField !== null && offsetField.value === "") {
  offsetField.value = offsetText(-new Date().getTimezoneOffset());
}
arrangeSunConditions();
keepFoldsSaying();
for (const picker of document.querySelectorAll<HTMLElement>("[data-photo-picker]")) photoPicker(picker);
const form = document.querySelector<HTMLFormElement>("[data-upload-form]");
const photo = form?.querySelector<HTMLInputElement>("[data-photo-input]") ?? null;
const said = form?.querySelector<HTMLElement>("[data-photo-look]") ?? null;
if (form !== null) sendWithProgress(form, photo !== null && said !== null ? lookAtPhoto(photo, said) : null);
