// Calling someone back to the table: a chime, a shake of the phone, a screen that stays on. Each is used where the device has it.

let audio: AudioContext | null = null;

/** Makes sound possible later: call it in answer to a press, as browsers ask. */
export function allowSound(): void {
  try {
    audio ??= new AudioContext();
    void audio.resume();
  } catch {
    audio = null;
  }
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

/** Keeps the screen on while `wanted()` says so; browsers take the lock away from hidden pages, so it is asked for again. */
export function keepScreenOn(wanted: () => boolean): () => Promise<void> {
  let lock: WakeLockSentinel | null = null;
  const adjust = async (): Promise<void> => {
    try {
      if (wanted() && document.visibilityState === "visible" && lock === null && "wakeLock" in navigator) {
        lock = await navigator.wakeLock.request("screen");
        lock.addEventListener("release", () => (lock = null));
      } else if (!wanted() && lock !== null) await lock.release();
    } catch {
      lock = null; // refused, for example with a low battery; the clock itself does not need it
    }
  };
  document.addEventListener("visibilitychange", () => void adjust());
  return adjust;
}
