// Keeps a page up to date with what other devices do. A part marked `data-live="tests prints"` (with an id of its own)
// is fetched again and exchanged; a page of one record, `data-record="tests/<id>"`, says that it was changed and loses
// nothing.
import { exchangePart } from "./exchange-part.ts";
import { mayBeOwnChange, onNews } from "./live.ts";
import type { News } from "./news.ts";

/** Changes that come together are shown together. */
const gatherMs = 250;

let due: ReturnType<typeof setTimeout> | undefined;

export function keepPartsLive(): void {
  const hasParts = document.querySelector("[data-live]") !== null;
  const record = document.querySelector<HTMLElement>("[data-record]");
  if (!hasParts && record === null) return;
  onNews((news) => {
    const isAboutThis = record !== null && isAbout(news, record.dataset.record ?? "");
    const isShown = livePartsFor(news).length > 0;
    // Where a part shows the record, only what was written beside that part is left to be told.
    if (isAboutThis && (!isShown || news.what === "removed")) sayChanged(news);
    if (!isShown) return;
    clearTimeout(due);
    due = setTimeout(() => void renewParts(news, isAboutThis), gatherMs);
  });
  watchForms();
}

function isAbout({ kind, id }: News, record: string): boolean {
  return !mayBeOwnChange() && (kind === "everything" || record === `${kind}/${id ?? ""}`);
}

function livePartsFor({ kind }: News): HTMLElement[] {
  return [...document.querySelectorAll<HTMLElement>("[data-live]")].filter(
    (part) => kind === "everything" || (part.dataset.live ?? "").split(" ").includes(kind),
  );
}

/**
 * Exchanges the parts by those of the same page as it is now. A part in which somebody is writing stays, and it is
 * said.
 */
async function renewParts(news: News, isAboutThis: boolean): Promise<void> {
  let page: Document;
  try {
    const response = await fetch(location.href, { headers: { Accept: "text/html" } });
    if (!response.ok) return;
    page = new DOMParser().parseFromString(await response.text(), "text/html");
  } catch {
    // The network is away; the stream tells again when it is back.
    return;
  }
  if (isAboutThis && !haveSameFields(page)) sayChanged(news);
  for (const part of document.querySelectorAll<HTMLElement>("[data-live]")) {
    const next = page.getElementById(part.id);
    if (next === null || next.innerHTML === part.innerHTML) continue;
    if (isBeingWrittenIn(part)) sayChanged(news);
    else exchange(part, next);
  }
}

function exchange(part: HTMLElement, next: HTMLElement): void {
  const focused = part.contains(document.activeElement) ? document.activeElement : null;
  const place = focused?.getAttribute("href") ?? focused?.closest("form")?.getAttribute("action");
  exchangePart(part, next);
  if (place !== undefined && place !== null)
    part
      .querySelector<HTMLElement>(`a[href="${CSS.escape(place)}"], form[action="${CSS.escape(place)}"] button`)
      ?.focus({ preventScroll: true });
  document.dispatchEvent(new CustomEvent("live-part", { detail: part.id }));
}

/** Whether fields and choices outside live parts hold, as the server filled them, what they would hold now. */
function haveSameFields(page: Document): boolean {
  const outside = (field: Element): boolean => field.closest("[data-live]") === null;
  const filled = (root: Document): string =>
    [
      ...[...root.querySelectorAll<HTMLInputElement | HTMLTextAreaElement>("main input, main textarea")]
        .filter((field) => field.type !== "hidden" && field.type !== "file" && outside(field))
        .map((field) => {
          const isTicked = field instanceof HTMLInputElement && field.defaultChecked;
          return `${field.name}=${field.defaultValue}${isTicked ? "!" : ""}`;
        }),
      ...[...root.querySelectorAll<HTMLButtonElement>('main button[aria-pressed="true"]')]
        .filter(outside)
        .map((button) => `${button.name}=${button.value}!`),
    ].join("\n");
  return filled(page) === filled(document);
}

const written = new WeakSet<HTMLFormElement>();

function watchForms(): void {
  document.addEventListener("input", (event) => {
    const form = event.target instanceof Element ? event.target.closest("form") : null;
    if (form !== null) written.add(form);
  });
}

function isBeingWrittenIn(part: HTMLElement): boolean {
  const focused = document.activeElement;
  const isInField = focused !== null && part.contains(focused) && focused.matches("input, textarea, select");
  return isInField || [...part.querySelectorAll("form")].some((form) => written.has(form));
}

function sayChanged({ what }: News): void {
  const box = document.querySelector<HTMLElement>("[data-changed]");
  if (box === null) return;
  const words = box.querySelector("[data-changed-words]");
  if (words !== null)
    words.textContent =
      what === "removed" ? "This was deleted on another device." : "This was changed on another device.";
  box.hidden = false;
}
