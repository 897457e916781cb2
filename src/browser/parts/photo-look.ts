// Looks at a picture as soon as it is chosen: what cannot be read is said at once, the rest is sent ahead, and the
// server looks at it too.
import { chosenFileTrouble, firstBytesNeeded } from "#shared/reading/chosen-file.ts";
import { chosenFileSentence } from "#shared/words/tests/chosen-file-words.ts";
import { sendPicture, type KeptPicture } from "./send-picture.ts";

export interface PhotoLook {
  /** The sending of a chosen file; begun anew where the first one failed or there was none. */
  kept(file: File, progress: (share: number) => void): Promise<KeptPicture>;
}

type Tone = "plain" | "doubt" | "stop";

/** Watches the file field of a picker. */
export function lookAtPhoto(input: HTMLInputElement, said: HTMLElement): PhotoLook {
  let sending: { readonly file: File; readonly kept: Promise<KeptPicture> } | null = null;
  const listeners = new Set<(share: number) => void>();

  const say = (tone: Tone, text: string): void => {
    said.hidden = text === "";
    said.className = `photo-look ${tone}`;
    said.textContent = text;
    if (tone === "stop") input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  };

  const send = (file: File): Promise<KeptPicture> => {
    const kept = sendPicture(file, (share) => listeners.forEach((listen) => listen(share)));
    sending = { file, kept };
    kept.catch(() => {
      if (sending?.file === file) sending = null;
    });
    return kept;
  };

  const look = async (file: File): Promise<void> => {
    const firstBytes = new Uint8Array(await file.slice(0, firstBytesNeeded).arrayBuffer());
    const mostBytes = Number(input.dataset.mostBytes ?? Number.POSITIVE_INFINITY);
    const trouble = chosenFileTrouble({ sizeBytes: file.size, firstBytes, mostBytes });
    if (input.files?.[0] !== file) return;
    if (trouble !== null) {
      say("stop", chosenFileSentence(trouble));
      return;
    }
    say("plain", "Looking at the picture …");
    try {
      const { width, height, hint } = await send(file);
      if (input.files?.[0] !== file) return;
      const size = `${width} × ${height} pixels.`;
      if (hint === null) say("plain", `${size} The picture is ready to be read.`);
      else say("doubt", hint);
    } catch (error) {
      if (input.files?.[0] === file) say("stop", error instanceof Error ? error.message : "The picture was not sent.");
    }
  };

  input.addEventListener("change", () => {
    sending = null;
    const file = input.files?.[0];
    if (file === undefined) say("plain", "");
    else void look(file);
  });

  return {
    kept(file, progress) {
      listeners.add(progress);
      const kept = sending?.file === file ? sending.kept : send(file);
      return kept.finally(() => listeners.delete(progress));
    },
  };
}
