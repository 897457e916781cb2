// The running dose clock as kept on the device. Only timestamps are kept, so that a reload or a sleeping phone loses
// nothing.
import type { RunningClock } from "#shared/schema/sun-clock.ts";

const key = "wedgewright-dose-clock";

/** The clock kept on this device; null when there is none or it cannot be read. */
export function keptClock(): RunningClock | null {
  try {
    const value: unknown = JSON.parse(localStorage.getItem(key) ?? "null");
    if (typeof value !== "object" || value === null || !("version" in value) || value.version !== 1) return null;
    const clock = value as RunningClock; // written by `keepClock` of this version
    return Number.isFinite(clock.startedMs) && Array.isArray(clock.hidden) && Number.isFinite(clock.plan?.wanted?.dose)
      ? clock
      : null;
  } catch {
    return null;
  }
}

/**
 * Keeps a clock, or forgets it when null. Returns false when the device keeps nothing (a private window, a full disk).
 */
export function keepClock(clock: RunningClock | null): boolean {
  try {
    if (clock === null) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(clock));
    return true;
  } catch {
    return false;
  }
}

/** Calls back when another window of the same browser changes the clock. */
export function followKeptClock(changed: () => void): void {
  window.addEventListener("storage", (event) => {
    if (event.key === key || event.key === null) changed();
  });
}
