// What the dose clock says of a frame that is overdue, under a hidden sun, or back after an unlikely time.
import { formatDuration } from "#shared/format/duration.ts";
import { formatFixed, formatShare } from "#shared/format/number.ts";
import type { DoseClockReading } from "#shared/sun/frames/dose-clock.ts";

/** Writes an instant [ms of UTC] as a time of day. */
type TimeOfDay = (ms: number) => string;

/** A frame that had less or more than this share of its light was perhaps forgotten, or a press was. Our judgement. */
const believableShare = { least: 0.5, most: 2 };

/**
 * Since when a frame has had its light, and how much more than it wants it has had by now.
 * @param nowMs [ms of UTC]
 */
export function overdueWords(
  { reachedMs, share }: Pick<DoseClockReading, "reachedMs" | "share">,
  nowMs: number,
  at: TimeOfDay,
): string {
  if (reachedMs === null) return "it has had its light";
  const minutes = Math.round((nowMs - reachedMs) / 60_000);
  if (minutes < 1) return `it has just had its light, at ${at(reachedMs)}`;
  return (
    `since ${at(reachedMs)}, ${minutes} min over: ${formatShare(share)} of the light it wants, ` +
    `${stopsTooMuch(Math.log2(share))}`
  );
}

function stopsTooMuch(stops: number): string {
  if (stops < 0.1) return "hardly too much";
  return stops < 0.95
    ? `about ${formatFixed(stops, 1)} of a stop too much`
    : `about ${formatFixed(stops, 1)} stops too much`;
}

/** What becomes of a frame under a hidden sun: if the sun comes back now, and if it stays away. */
export function hiddenWords(
  reading: Pick<DoseClockReading, "bringInIfClearMs" | "bringInMs" | "shareAtSunset">,
  at: TimeOfDay,
): string {
  const ifClear = reading.bringInIfClearMs === null ? "" : `that is at ${at(reading.bringInIfClearMs)}; `;
  const ifHidden =
    reading.bringInMs === null
      ? `${formatShare(reading.shareAtSunset)} of its light at sunset`
      : `in at ${at(reading.bringInMs)}`;
  return `${ifClear}if it stays hidden: ${ifHidden}`;
}

/** Whether an exposure is so far off its plan that a forgotten press is likelier. */
export function isUnbelievable(share: number): boolean {
  return share < believableShare.least || share > believableShare.most;
}

/** Asks back before such an exposure is kept. */
export function unbelievableWords(share: number, outsideSeconds: number): string {
  return (
    `By this clock the frame had ${formatShare(share)} of the light it was planned for, in ` +
    `${formatDuration(outsideSeconds)}. If a press was forgotten, forget this exposure: kept, it would make the ` +
    "next times wrong."
  );
}
