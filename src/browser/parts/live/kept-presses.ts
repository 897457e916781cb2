// Presses on frames go out with the instant at which they were made. Where the server cannot be reached they are kept,
// in their order, and sent as soon as it answers.
import { exchangePart } from "./exchange-part.ts";
import { noteOwnChange } from "./live.ts";

interface Press {
  readonly action: string;
  readonly body: string;
}

const againMs = 5000;

interface Options {
  readonly nowMs: () => number;
  /** Told of each press at once. */
  pressed(form: HTMLFormElement, press: string, atMs: number): void;
}

/** Takes over the forms marked `data-press`. */
export function keepPresses({ nowMs, pressed }: Options): void {
  const waiting: Press[] = [];
  let isSending = false;

  const tell = (): void => {
    const notice = document.querySelector<HTMLElement>("[data-untold]");
    const count = document.querySelector("[data-untold-count]");
    if (notice === null || count === null) return;
    notice.hidden = waiting.length === 0;
    count.textContent = waiting.length === 1 ? "one press is" : `${waiting.length} presses are`;
  };

  const sendAll = async (): Promise<void> => {
    if (isSending) return;
    isSending = true;
    try {
      for (let press = waiting[0]; press !== undefined; press = waiting[0]) {
        noteOwnChange();
        const response = await fetch(press.action, {
          method: "POST",
          headers: { "Content-Type": "application/x-www-form-urlencoded" },
          body: press.body,
        });
        waiting.shift();
        noteOwnChange();
        showAnswer(await response.text());
      }
    } catch {
      setTimeout(() => void sendAll(), againMs);
    } finally {
      isSending = false;
      tell();
    }
  };

  document.addEventListener(
    "submit",
    (event) => {
      const form = event.target;
      if (!(form instanceof HTMLFormElement) || form.dataset.press === undefined) return;
      const press = event.submitter instanceof HTMLButtonElement ? event.submitter.value : "";
      event.preventDefault();
      const atMs = Math.round(nowMs());
      waiting.push({ action: form.action, body: new URLSearchParams({ press, at: String(atMs) }).toString() });
      pressed(form, press, atMs);
      void sendAll();
    },
    { capture: true },
  );
}

/** Shows the frames as the server has them now; a press within them keeps its place. */
function showAnswer(text: string): void {
  const answer = new DOMParser().parseFromString(text, "text/html");
  const [here, next] = [document.getElementById("frames"), answer.getElementById("frames")];
  if (here === null || next === null) return;
  const place = document.activeElement?.closest("form")?.getAttribute("action");
  exchangePart(here, next);
  if (place !== undefined && place !== null)
    here.querySelector<HTMLElement>(`form[action="${CSS.escape(place)}"] button`)?.focus({ preventScroll: true });
  document.dispatchEvent(new CustomEvent("live-part", { detail: "frames" }));
}
