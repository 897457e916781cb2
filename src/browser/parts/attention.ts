// Calling someone back to the table: a chime, a shake of the phone, a screen that stays on. Each is used where the
// device has it, and what it has is told to whoever asks, so that a page can say what will not happen.

let audio: AudioContext | null = null;
let toldOfSound: (isOn: boolean) => void = () => undefined;

/** Makes sound possible later: call it in answer to a press, as browsers ask. */
export function allowSound(): void {
  try {
    if (audio === null) {
      audio = new AudioContext();
      audio.addEventListener("statechange", () => toldOfSound(isSoundOn()));
    }
    // Refused without a press, and told by the state rather than by the promise.
    audio.resume().catch(() => undefined);
  } catch {
    audio = null;
  }
  toldOfSound(isSoundOn());
}

function isSoundOn(): boolean {
  return audio?.state === "running";
}

/** Says now, and at each change, whether a chime would be heard. */
export function watchSound(told: (isOn: boolean) => void): void {
  toldOfSound = told;
  told(isSoundOn());
}

/** Three rising tones and a shake. */
export function chime(): void {
  if ("vibrate" in navigator) navigator.vibrate([300, 150, 300, 150, 600]);
  if (audio === null || audio.state !== "running") return;
  [660, 880, 1100].forEach((hertz, index) => {
    if (audio === null) return;
    const begin = audio.currentTime + index * 0.35;
    const tone = audio.createOscillator();
    const loudness = audio.createGain();
    tone.frequency.value = hertz;
    loudness.gain.setValueAtTime(0.0001, begin);
    loudness.gain.exponentialRampToValueAtTime(0.4, begin + 0.03);
    loudness.gain.exponentialRampToValueAtTime(0.0001, begin + 0.3);
    tone.connect(loudness).connect(audio.destination);
    tone.start(begin);
    tone.stop(begin + 0.32);
  });
}

/**
 * "unavailable": a browser without such locks, as all are on a plain http address; "refused": as with a low battery.
 */
export type ScreenState = "kept-on" | "unavailable" | "refused" | "free";

/**
 * Keeps the screen on while `wanted()` says so; browsers take the lock away from hidden pages, so it is asked for
 * again.
 * @param told how it stands, whenever that may have changed
 * @returns looks again whether it is wanted
 */
export function keepScreenOn(
  wanted: () => boolean,
  told: (state: ScreenState) => void = () => undefined,
): () => Promise<void> {
  let lock: WakeLockSentinel | null = null;
  let isAsking = false;
  const adjust = async (): Promise<void> => {
    if (!wanted()) {
      await lock?.release();
      told("free");
      return;
    }
    if (!("wakeLock" in navigator)) {
      told("unavailable");
      return;
    }
    if (document.visibilityState !== "visible" || lock !== null || isAsking) return;
    isAsking = true;
    try {
      const held = await navigator.wakeLock.request("screen");
      lock = held;
      held.addEventListener("release", () => (lock = null));
      told("kept-on");
    } catch {
      told("refused"); // the clock itself does not need it
    } finally {
      isAsking = false;
    }
    if (!wanted()) await adjust();
  };
  document.addEventListener("visibilitychange", () => void adjust());
  return adjust;
}
