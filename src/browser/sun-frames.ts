// Frames in the sun: counts on between two answers of the server, calls when one has had its light, and keeps presses
// while the
// network is away. Everything is reckoned from the kept timestamps, so that a reload or a sleeping phone loses nothing.
import { formatDuration } from "#shared/format/duration.ts";
import type { SunFrame, SunFramePatch } from "#shared/schema/sun/frame.ts";
import { changesOfPress, isFramePress } from "#shared/sun/frames/frame-press.ts";
import { frameFace, type FrameFace } from "#shared/words/sun/sun-frame-words.ts";
import { allowSound, chime, keepScreenOn } from "./parts/attention.ts";
import { offerNotices, showNotice } from "./parts/notices.ts";
import { keepPresses } from "./parts/live/kept-presses.ts";
import { serverClockOffsetMs } from "./parts/live/server-clock.ts";

const tickMs = 1000;

interface Card {
  readonly element: HTMLElement;
  frame: SunFrame;
  face: FrameFace;
}

let offsetMs = 0;
let cards: Card[] = [];
let next = 0;
const called = new Set<string>();

const nowMs = (): number => Date.now() + offsetMs;
const isRunning = ({ frame }: Card): boolean => frame.endedAt === null;

function cardsOfPage(): Card[] {
  return [...document.querySelectorAll<HTMLElement>("[data-frame]")].map((element) => {
    // Written by this program's own server.
    const frame = JSON.parse(element.querySelector("[data-frame-record]")?.textContent ?? "null") as SunFrame;
    return { element, frame, face: frameFace(frame, nowMs()) };
  });
}

function show({ element, face }: Card): void {
  element.dataset.state = face.state;
  for (const part of element.querySelectorAll<HTMLElement>("[data-face]")) {
    const text = String(face[part.dataset.face as keyof FrameFace] ?? "");
    if (part.textContent !== text) part.textContent = text;
  }
  const sun = element.querySelector<HTMLButtonElement>(".sun-switch");
  if (sun !== null) {
    sun.value = face.isSunHidden ? "back" : "hide";
    sun.setAttribute("aria-pressed", String(face.isSunHidden));
    const words = sun.querySelector("[data-sun-words]");
    if (words !== null) words.textContent = face.isSunHidden ? "Sun back" : "Sun hidden";
  }
  const bar = element.querySelector<HTMLProgressElement>("[data-face-bar]");
  if (bar !== null) bar.value = face.barPercent;
}

/** Says once that a frame has had its light. */
function callIfDue({ frame, face }: Card): void {
  if (face.state !== "due" || called.has(frame.id)) return;
  called.add(frame.id);
  chime();
  const words = `${frame.name} has had its light: bring it in.`;
  const status = document.querySelector("[data-frame-status]");
  if (status !== null) status.textContent = words;
  showNotice(words, `frame-${frame.id}`);
}

/** One frame a tick is reckoned anew; the times of the others count down from their last reckoning. */
function tick(): void {
  const running = cards.filter(isRunning);
  const due = running[next % Math.max(1, running.length)];
  next += 1;
  if (due !== undefined) {
    due.face = frameFace(due.frame, nowMs());
    show(due);
    callIfDue(due);
  }
  for (const card of running) {
    const { countToMs } = card.face;
    const main = card.element.querySelector('[data-face="main"]');
    if (countToMs !== null && main !== null)
      main.textContent = formatDuration(Math.max(0, Math.round((countToMs - nowMs()) / 1000)));
  }
  const waiting = running.find(({ face }) => face.state === "due");
  const title = document.title.replace(/^Bring in [^·]*· /, "");
  document.title = waiting === undefined ? title : `Bring in ${waiting.frame.name} · ${title}`;
}

const adjustScreen = keepScreenOn(
  () => cards.some(isRunning),
  (state) => {
    const words = document.querySelector("[data-call-screen]");
    if (words === null) return;
    words.textContent =
      state === "unavailable" || state === "refused"
        ? "This phone may fall asleep and then does not chime."
        : "The screen is kept on while a frame is outside.";
  },
);

function begin(): void {
  cards = cardsOfPage();
  cards.forEach((card) => {
    show(card);
    // What was due before the page was opened is seen, not called.
    if (card.face.state === "due") called.add(card.frame.id);
  });
  void adjustScreen();
}

/** A patch of a press names nothing that it leaves alone. */
const withoutUndefined = (changes: SunFramePatch): Partial<SunFrame> =>
  Object.fromEntries(Object.entries(changes).filter(([, value]) => value !== undefined));

document.querySelector("[data-call-page]")?.removeAttribute("hidden");
document.addEventListener("click", allowSound);
document.addEventListener("live-part", begin);
document.addEventListener("visibilitychange", () =>
  cards.filter(isRunning).forEach((card) => (card.face = frameFace(card.frame, nowMs()))),
);
offerNotices();
keepPresses({
  nowMs,
  pressed(form, press, atMs) {
    const card = cards.find(({ element }) => element.contains(form));
    if (card === undefined || !isFramePress(press)) return;
    // Shown at once, also while the network is away; the server's answer replaces it.
    card.frame = { ...card.frame, ...withoutUndefined(changesOfPress(card.frame, press, atMs)) };
    card.face = frameFace(card.frame, nowMs());
    show(card);
  },
});
begin();
setInterval(tick, tickMs);
void serverClockOffsetMs().then((offset) => {
  offsetMs = offset;
  begin();
});
