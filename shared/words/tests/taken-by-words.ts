// Who took a picture, and the button that says otherwise.
import type { TakenBy } from "#shared/schema/reading.ts";

const sentences: Readonly<
  Record<TakenBy, { readonly said: string; readonly supposed: string; readonly label: string }>
> = {
  camera: {
    said: "Photographed, as you said: the camera's own tone is not known.",
    supposed: "Taken for a photo, because its file tells nothing of a scanner: the camera's own tone is not known.",
    label: "It was scanned",
  },
  scanner: {
    said: "Scanned, as you said: its tone counts as known.",
    supposed: "Taken for a scan: its tone counts as known.",
    label: "It was photographed",
  },
};

/**
 * Who took the picture in a sentence, and what a button says that means the other.
 * @param isSaid the user said so; else the file was judged
 */
export function takenByWords(by: TakenBy, { isSaid }: { isSaid: boolean }): { says: string; label: string } {
  const { said, supposed, label } = sentences[by];
  return { says: isSaid ? said : supposed, label };
}
