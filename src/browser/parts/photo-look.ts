// Looks at pictures as soon as they are chosen: what cannot be read is said at once, the rest is sent ahead, and the
// server looks at it too.
import { chosenFileTrouble, firstBytesNeeded, tooManyFiles, type PictureShows } from "#shared/reading/chosen-file.ts";
import { chosenFileSentence } from "#shared/words/tests/chosen-file-words.ts";
import { sendPicture, type KeptPicture } from "./send-picture.ts";

export interface PhotoLook {
  readonly input: HTMLInputElement;
  /** The files chosen now. */
  readonly files: () => readonly File[];
  /** The sending of one of them; begun anew where the first one failed or there was none. */
  kept(file: File, progress: (share: number) => void): Promise<KeptPicture>;
}

type Tone = "plain" | "doubt" | "stop";

interface Seen {
  readonly tone: Tone;
  readonly text: string;
}

interface Sending {
  readonly kept: Promise<KeptPicture>;
  readonly listeners: Set<(share: number) => void>;
}

/**
 * Watches a field for one picture or several.
 * @param said where it is said what they are like
 * @param shows what the pictures of the field should show
 */
export function lookAtPhotos(input: HTMLInputElement, said: HTMLElement, shows: PictureShows): PhotoLook {
  const sendings = new Map<File, Sending>();
  const mostFiles = input.multiple ? Number(input.dataset.mostFiles ?? Number.POSITIVE_INFINITY) : 1;
  const files = (): readonly File[] => [...(input.files ?? [])];

  const say = ({ tone, text }: Seen): void => {
    said.hidden = text === "";
    said.className = `photo-look ${tone}`;
    said.textContent = text;
    if (tone === "stop") input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  };

  const send = (file: File): Sending => {
    const listeners = new Set<(share: number) => void>();
    const kept = sendPicture(file, shows, (share) => listeners.forEach((listen) => listen(share)));
    const sending = { kept, listeners };
    sendings.set(file, sending);
    kept.catch(() => {
      if (sendings.get(file) === sending) sendings.delete(file);
    });
    return sending;
  };

  /** What stops a file before it is sent, in words; null when it may be a picture. */
  const troubleOf = async (file: File): Promise<string | null> => {
    const firstBytes = new Uint8Array(await file.slice(0, firstBytesNeeded).arrayBuffer());
    const mostBytes = Number(input.dataset.mostBytes ?? Number.POSITIVE_INFINITY);
    const trouble = chosenFileTrouble({ sizeBytes: file.size, firstBytes, mostBytes });
    return trouble === null ? null : chosenFileSentence(trouble);
  };

  const look = async (file: File): Promise<Seen> => {
    const trouble = await troubleOf(file);
    if (trouble !== null) return { tone: "stop", text: trouble };
    try {
      const { width, height, hint } = await (sendings.get(file) ?? send(file)).kept;
      if (hint !== null) return { tone: "doubt", text: hint };
      return { tone: "plain", text: `${width} × ${height} pixels. The picture is ready to be read.` };
    } catch (error) {
      return { tone: "stop", text: error instanceof Error ? error.message : "The picture was not sent." };
    }
  };

  /** One after the other, so that a phone's line carries one picture at a time. */
  const lookAtAll = async (chosen: readonly File[]): Promise<void> => {
    if (chosen.length > mostFiles) {
      say({ tone: "stop", text: chosenFileSentence(tooManyFiles(mostFiles)) });
      return;
    }
    const isStill = (): boolean => chosen.every((file, i) => files()[i] === file);
    const seen: { readonly file: File; readonly seen: Seen }[] = [];
    for (const file of chosen) {
      if (!isStill()) return;
      say({ tone: "plain", text: chosen.length === 1 ? "Looking at the picture …" : `Looking at ${file.name} …` });
      seen.push({ file, seen: await look(file) });
    }
    if (isStill()) say(together(seen));
  };

  input.addEventListener("change", () => {
    const chosen = files();
    for (const file of sendings.keys()) if (!chosen.includes(file)) sendings.delete(file);
    if (chosen.length === 0) say({ tone: "plain", text: "" });
    else void lookAtAll(chosen);
  });

  return {
    input,
    files,
    async kept(file, progress) {
      if (files().length > mostFiles) throw new Error(chosenFileSentence(tooManyFiles(mostFiles)));
      const trouble = await troubleOf(file);
      if (trouble !== null) throw new Error(input.multiple ? `${file.name}: ${trouble}` : trouble);
      const { kept, listeners } = sendings.get(file) ?? send(file);
      listeners.add(progress);
      return kept.finally(() => listeners.delete(progress));
    },
  };
}

/** What is said of all pictures of a field: each that is doubtful by its name, where there are several. */
function together(seen: readonly { readonly file: File; readonly seen: Seen }[]): Seen {
  const [only] = seen;
  if (only !== undefined && seen.length === 1) return only.seen;
  const odd = seen.filter(({ seen: { tone } }) => tone !== "plain");
  if (odd.length === 0) return { tone: "plain", text: `All ${seen.length} pictures are ready to be read.` };
  return {
    tone: odd.some(({ seen: { tone } }) => tone === "stop") ? "stop" : "doubt",
    text: odd.map(({ file, seen: { text } }) => `${file.name}: ${text}`).join(" "),
  };
}
