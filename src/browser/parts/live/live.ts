// Hears what other devices change. One stream for all scripts of a page, open only while the page is looked at, since a
// browser keeps no more than six connections to one server.
import type { News } from "./news.ts";

type Hearing = (news: News) => void;

const hearings = new Set<Hearing>();
let source: EventSource | undefined;
/** The last event that this page had. */
let seen = document.documentElement.dataset.news ?? "";
let ownUntilMs = 0;

/** How long after a change made by this page itself news of it may still come. */
const ownEchoMs = 2000;

/** Calls `hearing` for each change, also for those that were missed while the page was hidden. */
export function onNews(hearing: Hearing): void {
  hearings.add(hearing);
  open();
}

/** News that comes now, or shortly after, may be of a change that this page makes itself. */
export function noteOwnChange(): void {
  ownUntilMs = Date.now() + ownEchoMs;
}

export function mayBeOwnChange(): boolean {
  return Date.now() < ownUntilMs;
}

function open(): void {
  if (source !== undefined || hearings.size === 0 || document.visibilityState !== "visible") return;
  const opened = new EventSource(seen === "" ? "/live" : `/live?since=${encodeURIComponent(seen)}`);
  source = opened;
  const note = (event: MessageEvent<string>): void => {
    if (event.lastEventId !== "") seen = event.lastEventId;
  };
  opened.addEventListener("ready", note);
  opened.addEventListener("message", (event: MessageEvent<string>) => {
    note(event);
    // Written by this program's own server.
    const news = JSON.parse(event.data) as News;
    for (const hearing of hearings) hearing(news);
  });
}

function close(): void {
  source?.close();
  source = undefined;
}

document.addEventListener("visibilitychange", () => (document.visibilityState === "visible" ? open() : close()));
window.addEventListener("pagehide", close);
window.addEventListener("pageshow", open);
