// Counts the running steps of prints from their starting times, so that a reload or a sleeping phone loses nothing.
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import { allowSound, chime, keepScreenOn, watchSound, type ScreenState } from "./parts/attention.ts";
import { releaseForm } from "./parts/form-guard.ts";
import { noteOwnChange } from "./parts/live/live.ts";
import { serverClockOffsetMs } from "./parts/live/server-clock.ts";

const tickMs = 500;

interface Timer {
  /** The print and the step. */
  readonly key: string;
  readonly element: HTMLElement;
  readonly startedMs: number;
  /** Planned seconds; null when the step ends by looking. */
  readonly seconds: number | null;
  readonly name: string;
  wasOver: boolean;
}

let offsetMs = 0;
let timers: Timer[] = [];
let screenState: ScreenState = "free";
let isSoundOn = false;

const nowMs = (): number => Date.now() + offsetMs;
const isOver = ({ seconds, startedMs }: Pick<Timer, "seconds" | "startedMs">): boolean =>
  seconds !== null && nowMs() >= startedMs + seconds * 1000;

function timersOfPage(): Timer[] {
  return [...document.querySelectorAll<HTMLElement>("[data-timer]")].map((element) => {
    const seconds = element.dataset.seconds === undefined ? null : Number(element.dataset.seconds);
    const startedMs = Number(element.dataset.startedMs);
    const part = element.closest(".run-step, .lamp-cools, .print-card-step");
    const step = part?.querySelector("h3, strong")?.textContent ?? "step";
    // The press that ends a step goes to the address of that step of that print.
    const key = part?.querySelector("form")?.action ?? "";
    const print = element.closest<HTMLElement>("[data-print-name]")?.dataset.printName ?? "";
    return {
      key,
      element,
      seconds,
      startedMs,
      name: print === "" ? step : `${step}, ${print}`,
      wasOver: isOver({ seconds, startedMs }),
    };
  });
}

function say(timer: Timer, part: string, text: string): void {
  const target = timer.element.querySelector(`[data-timer-${part}]`);
  if (target !== null && target.textContent !== text) target.textContent = text;
}

/** Counting down shows the second that is still running, so that zero means over. */
function shownOf(timer: Timer, over: boolean): { word: string; shown: number } {
  const ran = Math.max(0, (nowMs() - timer.startedMs) / 1000);
  if (timer.seconds === null) return { word: "runs for", shown: Math.floor(ran) };
  const left = timer.seconds - ran;
  return over
    ? { word: timer.element.dataset.overWord ?? "over by", shown: Math.floor(-left) }
    : { word: "still", shown: Math.ceil(left) };
}

function show(timer: Timer): void {
  const over = isOver(timer);
  const { word, shown } = shownOf(timer, over);
  say(timer, "word", word);
  say(timer, "time", formatDuration(shown));
  say(timer, "spoken", spokenDuration(shown));
  timer.element.classList.toggle("over", over);
  if (over && !timer.wasOver) {
    chime();
    const status = document.querySelector("[data-timer-status]");
    if (status !== null) status.textContent = `Time is up: ${timer.name}.`;
  }
  timer.wasOver = over;
}

function tick(): void {
  timers.forEach(show);
  const over = timers.filter((timer) => timer.wasOver);
  const title = document.title.replace(/^Time is up: [^·]*· /, "");
  document.title = over.length === 0 ? title : `Time is up: ${over[0]?.name ?? ""} · ${title}`;
}

/** Says what will not happen by itself on this device while a step runs. */
function showLimits(): void {
  const hide = (part: string, isHidden: boolean): void => {
    document.querySelector(`[data-attention-${part}]`)?.toggleAttribute("hidden", isHidden);
  };
  const runs = timers.length > 0;
  hide("sound", !runs || isSoundOn);
  hide("sleep", !runs || (screenState !== "unavailable" && screenState !== "refused"));
  hide("awake", !runs || screenState !== "kept-on");
}

const adjustScreen = keepScreenOn(
  () => timers.length > 0,
  (state) => {
    screenState = state;
    showLimits();
  },
);

/** Takes up the steps that the page shows now. One that ended since the last tick is still to be called. */
function begin(): void {
  const before = timers;
  timers = timersOfPage();
  for (const timer of timers) {
    const same = before.find(({ key, startedMs }) => key === timer.key && startedMs === timer.startedMs);
    if (same !== undefined) timer.wasOver = same.wasOver;
  }
  tick();
  showLimits();
  void adjustScreen();
}

/**
 * Sends a press of a run sheet and shows the answer in the same page, so that the sound which the press allowed stays
 * allowed; a page loaded anew would be silent in most browsers until it is touched again.
 */
async function pressWithin(form: HTMLFormElement): Promise<void> {
  const body = new URLSearchParams(
    [...new FormData(form)].map(([name, value]): [string, string] => [name, String(value)]),
  );
  let response: Response;
  noteOwnChange();
  try {
    response = await fetch(form.action, { method: "POST", body });
    noteOwnChange();
  } catch {
    releaseForm(form);
    form.submit();
    return;
  }
  try {
    const answer = new DOMParser().parseFromString(await response.text(), "text/html");
    const [next, here] = [answer.querySelector("[data-run-part]"), document.querySelector("[data-run-part]")];
    if (next === null || here === null) throw new TypeError("The answer shows no run sheet.");
    if (response.redirected && new URL(response.url).pathname !== location.pathname) {
      // A press of the log that would cut a step short is asked for again on the print's own page.
      location.assign(response.url);
      return;
    }
    // Notes being written beside the run sheet stay as they are.
    here.replaceChildren(...next.childNodes);
    document.title = answer.title;
    history.replaceState(null, "", response.url);
    begin();
    here
      .querySelector<HTMLElement>(".run-step.running button, .run-step.paused button, .print-card-step button")
      ?.focus({ preventScroll: true });
  } catch {
    // The press has been answered and must not be sent again: show what it did.
    location.reload();
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.dataset.timerPress === undefined || event.defaultPrevented) return;
  event.preventDefault();
  allowSound();
  void pressWithin(form);
});
// Not at the beginning of a press: the notice that leaves would move the button away from under the finger.
for (const press of ["click", "keydown"]) {
  document.addEventListener(press, () => {
    if (!isSoundOn) allowSound();
  });
}
document.addEventListener("visibilitychange", () => {
  // A call or another app may have taken the sound away meanwhile.
  if (document.visibilityState === "visible" && timers.length > 0) allowSound();
  tick();
});

// Another device has begun or ended a step.
document.addEventListener("live-part", begin);
watchSound((isOn) => {
  isSoundOn = isOn;
  showLimits();
});
begin();
// Some browsers let a page sound that was reached by a press on the page before.
if (timers.length > 0) allowSound();
setInterval(tick, tickMs);
void serverClockOffsetMs().then((offset) => {
  if (offset === 0) return;
  offsetMs = offset;
  // What was over by the wrong clock says nothing.
  timers = timersOfPage();
  tick();
});
