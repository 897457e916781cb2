// The new-test page: picture by drop, file or camera, with a preview and the progress of sending.
import { sendWithProgress } from "./parts/upload.ts";
import { arrangeSunConditions } from "./parts/sun-conditions.ts";
import { photoPicker } from "./parts/photo-picker.ts";

const offsetField = document.querySelector<HTMLInputElement>("[data-utc-offset]");
if (offsetField !== null && offsetField.value === "") {
  const minutes = -new Date().getTimezoneOffset();
  const size = Math.abs(minutes);
  offsetField.value = `${minutes < 0 ? "-" : "+"}${String(Math.floor(size / 60)).padStart(2, "0")}:${String(size % 60).padStart(2, "0")}`;
}
arrangeSunConditions();
for (const picker of document.querySelectorAll<HTMLElement>("[data-photo-picker]")) photoPicker(picker);
const form = document.querySelector<HTMLFormElement>("[data-upload-form]");
if (form !== null) sendWithProgress(form);
