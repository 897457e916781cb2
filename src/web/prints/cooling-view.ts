// A lamp that cools after an exposure: beside every run sheet that would light it again.
import { lampCooling } from "#shared/prints/lamp-cooling.ts";
import type { StoreReader } from "#src/store/store.ts";
import { clockView, type ClockView } from "./clock-view.ts";

interface CoolingView extends ClockView {
  readonly lamp: string;
  readonly state: "running";
  readonly startedMs: number;
  readonly seconds: number;
}

/** Newest prints of a lamp that are looked through for its last exposure. */
const lookedThrough = 20;

/** null when the lamp may be lit. */
export function coolingView(store: StoreReader, lampId: string, nowMs: number): CoolingView | null {
  const cooling = lampCooling(store.prints.list({ lampId, limit: lookedThrough }).prints, nowMs);
  if (cooling === null) return null;
  const { sinceMs, seconds } = cooling;
  const ranSeconds = (nowMs - sinceMs) / 1000;
  return {
    lamp: store.lamps.find(lampId)?.name ?? "the lamp",
    state: "running",
    startedMs: sinceMs,
    seconds,
    ...clockView({ kind: "running", ranSeconds, leftSeconds: seconds - ranSeconds }),
  };
}
