// The new-test page: pictures by drop, file or camera, looked at as they are chosen, with the progress of sending.
import { pictureShows } from "#shared/reading/chosen-file.ts";
import { offsetText } from "#shared/sun/local-clock.ts";
import { keepFoldsSaying } from "./parts/fold-says.ts";
import { sendWithProgress, type PictureField } from "./parts/send-with-progress.ts";
import { arrangeSunConditions } from "./parts/sun-conditions.ts";
import { lookAtPhotos } from "./parts/photo-look.ts";
import { photoPicker } from "./parts/photo-picker.ts";

const offsetField = document.querySelector<HTMLInputElement>("[data-utc-offset]");
if (offsetField !== null && offsetField.value === "") {
  offsetField.value = offsetText(-new Date().getTimezoneOffset());
}
arrangeSunConditions();
keepFoldsSaying();
for (const picker of document.querySelectorAll<HTMLElement>("[data-photo-picker]")) photoPicker(picker);
const form = document.querySelector<HTMLFormElement>("[data-upload-form]");
const looks: PictureField[] = [];
for (const input of form?.querySelectorAll<HTMLInputElement>("input[type=file][data-shows]") ?? []) {
  const shows = pictureShows.find((each) => each === input.dataset.shows);
  const said = form?.querySelector<HTMLElement>(`[data-photo-look="${input.name}"]`);
  if (shows === undefined || said == null) continue;
  const named = input.dataset.keptAs ?? input.name;
  looks.push({
    look: lookAtPhotos(input, said, shows),
    nameOf: (number) => (input.multiple ? `${named}.${number}` : named),
  });
}
if (form !== null) sendWithProgress(form, looks);
