// Counts the running steps of prints from their starting times, so that a reload or a sleeping phone loses nothing.
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import { allowSound, chime, keepScreenOn } from "./parts/attention.ts";

const tickMs = 500;
/** A press that allowed sound is remembered over the page that answers it. */
const soundKey = "timer-sound";

interface Timer {
  readonly element: HTMLElement;
  readonly startedMs: number;
  /** Planned seconds; null when the step ends by looking. */
  readonly seconds: number | null;
  readonly name: string;
  wasOver: boolean;
}

const timers: Timer[] = [...document.querySelectorAll<HTMLElement>("[data-timer]")].map((element) => {
  const seconds = element.dataset.seconds === undefined ? null : Number(element.dataset.seconds);
  const startedMs = Number(element.dataset.startedMs);
  const step = element.closest(".run-step, .print-card-step")?.querySelector("h3, strong")?.textContent ?? "step";
  const print = element.closest<HTMLElement>("[data-print-name]")?.dataset.printName ?? "";
  return { element, seconds, startedMs, name: print === "" ? step : `${step}, ${print}`, wasOver: seconds !== null && Date.now() > startedMs + seconds * 1000 };
});

function say(timer: Timer, part: string, text: string): void {
  const target = timer.element.querySelector(`[data-timer-${part}]`);
  if (target !== null && target.textContent !== text) target.textContent = text;
}

function show(timer: Timer): void {
  const ran = Math.max(0, (Date.now() - timer.startedMs) / 1000);
  const left = timer.seconds === null ? null : timer.seconds - ran;
  const isOver = left !== null && left <= 0;
  // Counting down shows the second that is still running, so that zero means over.
  const shown = left === null ? Math.floor(ran) : isOver ? Math.floor(-left) : Math.ceil(left);
  say(timer, "word", left === null ? "runs for" : isOver ? "over by" : "still");
  say(timer, "time", formatDuration(shown));
  say(timer, "spoken", spokenDuration(shown));
  timer.element.classList.toggle("over", isOver);
  if (isOver && !timer.wasOver) {
    chime();
    const status = document.querySelector("[data-timer-status]");
    if (status !== null) status.textContent = `Time is up: ${timer.name}.`;
  }
  timer.wasOver = isOver;
}

function tick(): void {
  timers.forEach(show);
  const over = timers.filter((timer) => timer.wasOver);
  const title = document.title.replace(/^Time is up: [^·]*· /, "");
  document.title = over.length === 0 ? title : `Time is up: ${over[0]?.name ?? ""} · ${title}`;
}

document.addEventListener("submit", (event) => {
  if (event.target instanceof HTMLFormElement && event.target.dataset.allowSound !== undefined) sessionStorage.setItem(soundKey, "yes");
});
document.addEventListener("pointerdown", allowSound, { once: true });
document.addEventListener("keydown", allowSound, { once: true });

if (timers.length > 0) {
  if (sessionStorage.getItem(soundKey) === "yes") allowSound();
  void keepScreenOn(() => true)();
  tick();
  setInterval(tick, tickMs);
  document.addEventListener("visibilitychange", tick);
}
