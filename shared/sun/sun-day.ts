// The landmarks of one day: sunrise, sunset, highest sun, and the hours in which the sun stands high enough to print
// by.
import { bisection } from "#shared/statistics/bisection.ts";
import { sunInScene, type ReadyScene } from "./sky/printing-strength.ts";

/**
 * Lowest height of the sun for which a time is shown [°]; lower, the model and the horizon cannot be trusted.
 * Source: SunJudgement (judgement).
 */
export const lowestUsefulHeightDegrees = 10;
/**
 * Height of the sun's centre at sunrise without refraction [°]: half a diameter and the usual refraction below the
 * horizon.
 * Source: Meeus1998, ch. 15.
 */
const sunriseHeightDegrees = -0.8333;
const searchStepMs = 600_000;

/** A stretch of time [ms of UTC]. */
export interface Stretch {
  readonly fromMs: number;
  readonly untilMs: number;
}

/** Landmarks of one local day. Null where there is none that day. */
export interface SunDay {
  readonly sunriseMs: number | null;
  readonly sunsetMs: number | null;
  readonly highestMs: number;
  readonly highestHeightDegrees: number;
  /** `up` all day, `down` all day, or `ordinary`. */
  readonly kind: "ordinary" | "up" | "down";
  /** Stretches in which the sun stands at or above 10°, in order. */
  readonly useful: readonly Stretch[];
}

/** Instant at which `value` crosses zero between two instants that bracket it [ms]. */
function crossing(value: (atMs: number) => number, fromMs: number, untilMs: number): number {
  const risesThrough = value(untilMs) >= 0;
  const isBelow = (atMs: number) => value(atMs) >= 0 !== risesThrough;
  return bisection({ low: fromMs, high: untilMs, isBelow, width: 500 }).middle;
}

/** All stretches of a span in which `value` is at or above zero. */
function stretchesAbove(value: (atMs: number) => number, span: Stretch): Stretch[] {
  const stretches: Stretch[] = [];
  let openMs: number | null = value(span.fromMs) >= 0 ? span.fromMs : null;
  let previousMs = span.fromMs;
  while (previousMs < span.untilMs) {
    const nextMs = Math.min(span.untilMs, previousMs + searchStepMs);
    const above = value(nextMs) >= 0;
    if (above && openMs === null) openMs = crossing(value, previousMs, nextMs);
    if (!above && openMs !== null) {
      stretches.push({ fromMs: openMs, untilMs: crossing(value, previousMs, nextMs) });
      openMs = null;
    }
    previousMs = nextMs;
  }
  if (openMs !== null) stretches.push({ fromMs: openMs, untilMs: span.untilMs });
  return stretches;
}

/** Up all day where it neither rises nor sets in it. */
function kindOfDay(first: Stretch, day: Stretch): "up" | "ordinary" {
  return first.fromMs === day.fromMs && first.untilMs === day.untilMs ? "up" : "ordinary";
}

/**
 * Landmarks of the sun over one day.
 * @param ready scene, for the place and its refraction
 * @param day start and end of the local day [ms of UTC]; 23 or 25 hours long when the clocks change
 * @returns sunrise and sunset within the day, null where the sun does not rise or set in it; times good to about a
 *   minute.
 * Source: Meeus1998, ch. 15.
 */
export function sunDay(ready: ReadyScene, day: Stretch): SunDay {
  const airlessHeight = (atMs: number): number => 90 - sunInScene(ready, atMs).airlessZenithDegrees;
  const up = stretchesAbove((atMs) => airlessHeight(atMs) - sunriseHeightDegrees, day);
  const useful = stretchesAbove((atMs) => 90 - sunInScene(ready, atMs).zenithDegrees - lowestUsefulHeightDegrees, day);
  let highestMs = day.fromMs;
  for (let atMs = day.fromMs; atMs <= day.untilMs; atMs += searchStepMs)
    if (airlessHeight(atMs) > airlessHeight(highestMs)) highestMs = atMs;
  for (let stepMs = searchStepMs / 2; stepMs > 500; stepMs /= 2) {
    for (const tryMs of [highestMs - stepMs, highestMs + stepMs]) {
      if (tryMs >= day.fromMs && tryMs <= day.untilMs && airlessHeight(tryMs) > airlessHeight(highestMs))
        highestMs = tryMs;
    }
  }
  const first = up[0];
  const last = up[up.length - 1];
  return {
    sunriseMs: up.find((stretch) => stretch.fromMs > day.fromMs)?.fromMs ?? null,
    sunsetMs: up.findLast((stretch) => stretch.untilMs < day.untilMs)?.untilMs ?? null,
    highestMs,
    highestHeightDegrees: 90 - sunInScene(ready, highestMs).zenithDegrees,
    kind: first === undefined || last === undefined ? "down" : kindOfDay(first, day),
    useful,
  };
}
