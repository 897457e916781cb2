// The dose clock: reckons from timestamps what the frame outside has had, and says when to bring it in.
import { formatDuration, spokenDuration } from "#shared/format/duration.ts";
import { formatShare } from "#shared/format/number.ts";
import type { ClockPageData, ClockPlan, RunningClock } from "#shared/schema/sun-clock.ts";
import { doseClockReading, type DoseClockReading } from "#shared/sun/dose-clock.ts";
import { clockOfZone, clockTime, isoInstant } from "#shared/sun/local-clock.ts";
import { hiddenWords, isUnbelievable, overdueWords, unbelievableWords } from "#shared/words/dose-clock-words.ts";
import { sceneFrom } from "#shared/sun/scene.ts";
import { allowSound, chime, keepScreenOn } from "./parts/attention.ts";
import { followKeptClock, keepClock, keptClock } from "./parts/clock-keeping.ts";
import { pageData } from "./parts/page-data.ts";

const tickMs = 1000;

function element<Kind extends HTMLElement>(name: string): Kind {
  const found = document.querySelector<Kind>(`[data-clock${name === "" ? "" : `-${name}`}]`);
  if (found === null) throw new TypeError(`The page has no part "${name}".`);
  return found;
}

const offered = pageData<ClockPageData>().plan;
let running = keptClock();
let wasDue = false;
const adjustScreen = keepScreenOn(
  () => running !== null && running.endedMs === null,
  (state) => {
    element("sleep").hidden = state === "kept-on" || state === "free";
  },
);

/** Changes the clock, keeps it on the device and shows it. */
function change(next: RunningClock | null): void {
  running = next;
  const warning = element("warning");
  warning.hidden = keepClock(next);
  if (!warning.hidden)
    element("warning-text").textContent =
      "This browser keeps nothing on the device: the clock is lost when the page closes.";
  void adjustScreen();
  show();
}

function readingOf(clock: RunningClock, atMs: number): DoseClockReading {
  return doseClockReading(
    { scene: sceneFrom(clock.plan.scene), startMs: clock.startedMs, hidden: clock.hidden, wanted: clock.plan.wanted },
    clock.endedMs ?? atMs,
  );
}

function show(): void {
  const plan = running?.plan ?? offered;
  element("").hidden = plan === null;
  element("none").hidden = plan !== null;
  if (plan === null) return;
  const isOut = running !== null && running.endedMs === null;
  element("idle").hidden = running !== null;
  element("running").hidden = !isOut;
  element("done").hidden = running === null || running.endedMs === null;
  element("log-part").hidden = running === null;
  if (running === null) showBefore(plan);
  else showReading(running, readingOf(running, Date.now()));
}

const say = (name: string, text: string): void => {
  const target = element(name);
  if (target.textContent !== text) target.textContent = text;
};

function sayMain(seconds: number | null, word = "–"): void {
  say("main", seconds === null ? word : formatDuration(seconds));
  say("main-spoken", seconds === null ? word : spokenDuration(Math.round(seconds / 60) * 60 || Math.round(seconds)));
}

function showBefore(plan: ClockPlan): void {
  const nowMs = Date.now();
  const at = (ms: number): string => clockTime(clockOfZone(plan.timeZone), ms);
  const reading = readingOf({ version: 1, plan, startedMs: nowMs, endedMs: null, hidden: [] }, nowMs);
  say("label", "If it goes out now");
  sayMain(reading.bringInMs === null ? null : (reading.bringInMs - nowMs) / 1000);
  say(
    "range",
    reading.bringInMs === null
      ? "the light does not suffice before sunset"
      : `in at ${at(reading.bringInMs)}, between ${at(reading.earliestMs ?? reading.bringInMs)} and ` +
          `${reading.latestMs === null ? "sunset" : at(reading.latestMs)}`,
  );
  say("share", "Nothing yet");
  element<HTMLProgressElement>("bar").value = 0;
  say("conditions", plan.anchorNames.length === 0 ? "" : `Scaled by ${plan.anchorNames.join(", ")}`);
  delete element("face").dataset.state;
}

function showReading(clock: RunningClock, reading: DoseClockReading): void {
  const zone = clockOfZone(clock.plan.timeZone);
  const at = (ms: number): string => clockTime(zone, ms);
  const nowMs = clock.endedMs ?? Date.now();
  const isDue = reading.share >= 1;
  const isIn = clock.endedMs !== null;
  element("face").dataset.state = isIn ? "in" : isDue ? "due" : "out";
  element<HTMLProgressElement>("bar").value = Math.min(100, reading.share * 100);
  say(
    "share",
    `${formatShare(reading.share)} of the light it wants (${formatShare(reading.lowerShare)} to ` +
      `${formatShare(reading.upperShare)})`,
  );
  say("conditions", reading.sunHidden && !isIn ? "Sun hidden: reckoned as if it stayed so" : "");
  if (isIn) {
    say("label", "Was outside for");
    sayMain((nowMs - clock.startedMs) / 1000);
    say("range", `${at(clock.startedMs)} to ${at(nowMs)}`);
  } else if (isDue) {
    say("label", "Bring it in");
    sayMain(null, "Now");
    say("range", overdueWords(reading, nowMs, at));
  } else if (reading.sunHidden) {
    say("label", "Sun hidden. If it comes back now, bring the frame in");
    sayMain(reading.bringInIfClearMs === null ? null : (reading.bringInIfClearMs - nowMs) / 1000, "not today");
    say("range", hiddenWords(reading, at));
  } else if (reading.bringInMs === null) {
    say("label", "Not before sunset");
    sayMain(null);
    say("range", `under this sky it will have had ${formatShare(reading.shareAtSunset)} of its light by then`);
  } else {
    say("label", `Bring it in at ${at(reading.bringInMs)}, in`);
    sayMain((reading.bringInMs - nowMs) / 1000);
    say(
      "range",
      `between ${at(reading.earliestMs ?? reading.bringInMs)} and ` +
        `${reading.latestMs === null ? "sunset" : at(reading.latestMs)}`,
    );
  }
  const hide = element("hide");
  hide.setAttribute("aria-pressed", String(reading.sunHidden));
  say("hide-words", reading.sunHidden ? "Sun back" : "Sun hidden");
  element("undo").hidden = clock.hidden.length === 0 || isIn;
  showLog(clock, reading, at);
  askIfOdd(clock, reading);
  if (isDue && !isIn && !wasDue) {
    chime();
    say("status", "The print has had its light: bring the frame in.");
  }
  wasDue = isDue && !isIn;
  document.title = isIn
    ? "Dose clock · Wedgewright"
    : isDue
      ? "Bring it in · Wedgewright"
      : `${formatShare(reading.share)} · Dose clock · Wedgewright`;
}

/** Asks back before an exposure far off its plan is kept as one to scale by. */
function askIfOdd(clock: RunningClock, { share }: DoseClockReading): void {
  const isOdd = clock.endedMs !== null && isUnbelievable(share);
  element("odd").hidden = !isOdd;
  if (!isOdd || clock.endedMs === null) return;
  say("odd-words", unbelievableWords(share, (clock.endedMs - clock.startedMs) / 1000));
}

function showLog(clock: RunningClock, reading: DoseClockReading, at: (ms: number) => string): void {
  const rows: (readonly [string, string])[] = [
    ["Went out", at(clock.startedMs)],
    ["Outside for", formatDuration(((clock.endedMs ?? Date.now()) - clock.startedMs) / 1000)],
    ["Sun hidden for", formatDuration(reading.hiddenSeconds)],
    ...clock.hidden.map(
      (stretch, index) =>
        [
          `Hidden, ${index + 1}`,
          `${at(stretch.fromMs)} to ${stretch.untilMs === null ? "now" : at(stretch.untilMs)}`,
        ] as const,
    ),
  ];
  const log = element("log");
  while (log.children.length > rows.length) log.lastElementChild?.remove();
  rows.forEach(([term, value], index) => {
    let row = log.children[index];
    if (row === undefined) {
      row = document.createElement("div");
      row.append(document.createElement("dt"), document.createElement("dd"));
      log.append(row);
    }
    const [dt, dd] = row.children;
    if (dt && dt.textContent !== term) dt.textContent = term;
    if (dd && dd.textContent !== value) dd.textContent = value;
  });
}

function begin(): void {
  if (offered === null) return;
  allowSound();
  change({ version: 1, plan: offered, startedMs: Date.now(), endedMs: null, hidden: [] });
  say("status", "The clock runs.");
}

/** Closes the open hidden stretch, or opens one. */
function switchSun(): void {
  if (running === null || running.endedMs !== null) return;
  allowSound();
  const nowMs = Date.now();
  const open = running.hidden.some((stretch) => stretch.untilMs === null);
  const hidden = open
    ? running.hidden.map((stretch) => (stretch.untilMs === null ? { ...stretch, untilMs: nowMs } : stretch))
    : [...running.hidden, { fromMs: nowMs, untilMs: null }];
  change({ ...running, hidden });
  say("status", open ? "Sun back." : "Sun hidden.");
}

function stop(): void {
  if (running === null) return;
  const endedMs = Date.now();
  change({
    ...running,
    endedMs,
    hidden: running.hidden.map((stretch) => ({ ...stretch, untilMs: stretch.untilMs ?? endedMs })),
  });
  const name = element<HTMLFormElement>("keep").elements.namedItem("name");
  if (name instanceof HTMLInputElement && name.value === "")
    name.value =
      "Sun print of " +
      `${isoInstant(clockOfZone(running.plan.timeZone), running.startedMs).slice(0, 16).replace("T", " ")}`;
  element("done-heading").focus();
}

async function keepAsAnchor(form: HTMLFormElement): Promise<void> {
  if (running === null || running.endedMs === null) return;
  const { plan, startedMs, endedMs, hidden } = running;
  const zone = clockOfZone(plan.timeZone);
  const fields = new FormData(form);
  if (!element("odd").hidden && fields.get("sure") === null) {
    element("error").textContent = "Say first that it really lay outside that long, or forget this exposure.";
    element("error").hidden = false;
    return;
  }
  const body = {
    name: String(fields.get("name") ?? ""),
    neededStops: Number(fields.get("neededStops") ?? 0),
    ...plan.scene,
    ...plan.materials,
    startedAt: isoInstant(zone, startedMs),
    endedAt: isoInstant(zone, endedMs),
    hidden: hidden.map((stretch) => ({
      fromAt: isoInstant(zone, stretch.fromMs),
      untilAt: isoInstant(zone, stretch.untilMs ?? endedMs),
    })),
  };
  const trouble = element("error");
  trouble.hidden = true;
  try {
    const response = await fetch("/api/sun/anchors", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
    });
    if (!response.ok)
      throw new Error(((await response.json()) as { detail?: string }).detail ?? "It could not be kept.");
    keepClock(null);
    location.href = "/sun";
  } catch (error) {
    trouble.textContent =
      error instanceof Error && error.message !== "Failed to fetch"
        ? error.message
        : "The server cannot be reached. Nothing is lost: try again when it is.";
    trouble.hidden = false;
  }
}

element("start").addEventListener("click", begin);
element("hide").addEventListener("click", switchSun);
element("stop").addEventListener("click", stop);
element("undo").addEventListener(
  "click",
  () => running !== null && change({ ...running, hidden: running.hidden.slice(0, -1) }),
);
element("resume").addEventListener("click", () => running !== null && change({ ...running, endedMs: null }));
element("discard").addEventListener("click", () => confirm("Forget this exposure?") && change(null));
element<HTMLFormElement>("keep").addEventListener("submit", (event) => {
  event.preventDefault();
  void keepAsAnchor(element<HTMLFormElement>("keep"));
});
followKeptClock(() => {
  running = keptClock();
  show();
});
document.addEventListener("visibilitychange", show);
setInterval(() => {
  if (running === null || running.endedMs === null) show();
}, tickMs);
void adjustScreen();
show();
