// The dose clock: what a frame outside has had so far, what is still missing, and when to bring it in.
import { countedDose, unnotedShare, type CountedDose, type Turn } from "./counted-dose.ts";
import { daylightEndMs, doseBetween, doseTable, secondsToDose } from "#shared/sun/dose.ts";
import { readyScene, type SunScene } from "#shared/sun/sky/printing-strength.ts";
import { hiddenSunShares } from "#shared/sun/sky/surroundings.ts";

/** A stretch of hidden sun; still hidden while `untilMs` is null. */
interface HiddenStretch {
  readonly fromMs: number;
  readonly untilMs: number | null;
}

/** A frame outside. */
export interface FrameOutside {
  readonly scene: SunScene;
  readonly startMs: number;
  readonly hidden: readonly HiddenStretch[];
  /** How it was turned or glazed on the way, rising by time. */
  readonly turns?: readonly Turn[];
  /** Minutes of hidden sun whose time nobody noted. */
  readonly cloudMinutes?: number;
  /** Dose that a witness strip told of the whole time outside, instead of the model's. */
  readonly measured?: CountedDose | null;
  /** Wanted dose [action-weighted J/m²] with its 95 % half-ranges of ln dose. */
  readonly wanted: { readonly dose: number; readonly lowerLn: number; readonly upperLn: number };
}

/** What the clock shows at an instant. */
export interface DoseClockReading {
  /** Dose so far over the wanted dose: likely, and the range that hidden minutes and the plan leave. */
  readonly share: number;
  readonly lowerShare: number;
  readonly upperShare: number;
  readonly hiddenSeconds: number;
  readonly sunHidden: boolean;
  /**
   * When to bring the frame in if the sky stays as it is now; null when the dose is not reached before sunset [ms of
   * UTC].
   */
  readonly bringInMs: number | null;
  /** Likewise for the quicker and the slower end of the range. */
  readonly earliestMs: number | null;
  readonly latestMs: number | null;
  /** When the wanted dose was reached; null while it is not [ms of UTC]. */
  readonly reachedMs: number | null;
  /**
   * With the sun hidden: when to bring the frame in if it came back now; null when it is not hidden or not before
   * sunset.
   */
  readonly bringInIfClearMs: number | null;
  /** Share of the wanted dose at sunset if the sky stays as it is. */
  readonly shareAtSunset: number;
}

const lookAheadMs = 86_400_000;

/**
 * Reading of the dose clock at an instant, from timestamps alone, so that it does not matter whether anything ran in
 * between.
 * @param frame scene, start, hidden stretches [ms of UTC] and wanted dose
 * @param atMs now
 * Source: HelsinkiUva for hidden minutes; SunAnchor.
 */
export function doseClockReading(frame: FrameOutside, atMs: number): DoseClockReading {
  const hidden = frame.hidden.map((stretch) => ({
    fromMs: stretch.fromMs,
    untilMs: Math.min(stretch.untilMs ?? atMs, atMs),
  }));
  const counted = frame.measured ?? countedDose(frame.scene, { ...frame, endMs: atMs, hidden });
  const { dose, lowerLn, upperLn } = frame.wanted;
  // Two independent doubts, of the wanted dose and of the hidden minutes, add as squares.
  const below = counted.likely > 0 ? Math.log(counted.likely / counted.lowest) : 0;
  const above = counted.likely > 0 ? Math.log(counted.highest / counted.likely) : 0;
  const share = counted.likely / dose;
  const sunHidden = frame.hidden.some((stretch) => stretch.untilMs === null);
  const notedMs = frame.hidden.reduce(
    (sum, stretch) => sum + (Math.min(stretch.untilMs ?? atMs, atMs) - Math.min(stretch.fromMs, atMs)),
    0,
  );

  const table = doseTable(readyScene(sceneAt(frame, atMs)), {
    startMs: Math.max(atMs, frame.startMs),
    endMs: Math.max(atMs, frame.startMs) + lookAheadMs,
    stepSeconds: 60,
  });
  const nowMs = Math.max(atMs, frame.startMs);
  const untilMs = daylightEndMs(table, nowMs);
  const reachedMs = (missing: number, countedShare: number): number | null => {
    if (missing <= 0) return nowMs;
    const seconds = secondsToDose(table, { startMs: nowMs, dose: missing / countedShare, untilMs });
    return seconds === null ? null : nowMs + seconds * 1000;
  };
  const shares = sunHidden ? hiddenSunShares : { likely: 1, lowest: 1, highest: 1 };
  const restOfDay = untilMs > nowMs ? doseBetween(table, nowMs, untilMs) : 0;
  return {
    reachedMs: share < 1 ? null : whenReached(frame, hidden, atMs),
    bringInIfClearMs: sunHidden ? reachedMs(dose - counted.likely, 1) : null,
    shareAtSunset: (counted.likely + restOfDay * shares.likely) / dose,
    share,
    lowerShare: share * Math.exp(-Math.hypot(below, upperLn)),
    upperShare: share * Math.exp(Math.hypot(above, lowerLn)),
    hiddenSeconds: notedMs / 1000 + (frame.cloudMinutes ?? 0) * 60,
    sunHidden,
    bringInMs: reachedMs(dose - counted.likely, shares.likely),
    earliestMs: reachedMs(dose * Math.exp(-Math.hypot(lowerLn, above)) - counted.likely, shares.highest),
    latestMs: reachedMs(dose * Math.exp(Math.hypot(upperLn, below)) - counted.likely, shares.lowest),
  };
}

/** How the frame lies at an instant. */
function sceneAt(frame: FrameOutside, atMs: number): SunScene {
  return (frame.turns ?? []).findLast(({ fromMs }) => fromMs <= atMs)?.scene ?? frame.scene;
}

/**
 * Instant at which a frame that has had its dose by `atMs` had just had it, piece by piece of open and hidden sun [ms
 * of UTC].
 */
function whenReached(
  frame: FrameOutside,
  hidden: readonly { fromMs: number; untilMs: number }[],
  atMs: number,
): number {
  const inside = [
    ...hidden.flatMap(({ fromMs, untilMs }) => [fromMs, untilMs]),
    ...(frame.turns ?? []).map(({ fromMs }) => fromMs),
  ].filter((ms) => ms > frame.startMs && ms < atMs);
  const bounds = [frame.startMs, ...inside.sort((a, b) => a - b), atMs];
  const isHidden = (fromMs: number, untilMs: number): boolean =>
    hidden.some((stretch) => stretch.fromMs <= fromMs && stretch.untilMs >= untilMs);
  const pieces = bounds
    .slice(0, -1)
    .map((fromMs, index) => ({ fromMs, untilMs: bounds[index + 1] ?? atMs }))
    .filter(({ fromMs, untilMs }) => untilMs > fromMs);
  const freeMs = pieces.reduce(
    (sum, { fromMs, untilMs }) => sum + (isHidden(fromMs, untilMs) ? 0 : untilMs - fromMs),
    0,
  );
  const unnoted = unnotedShare(frame.cloudMinutes ?? 0, freeMs);
  const freeCounts = 1 - unnoted * (1 - hiddenSunShares.likely);
  let missing = frame.wanted.dose;
  for (const { fromMs, untilMs } of pieces) {
    const table = doseTable(readyScene(sceneAt(frame, fromMs)), { startMs: fromMs, endMs: untilMs, stepSeconds: 60 });
    const counts = isHidden(fromMs, untilMs) ? hiddenSunShares.likely : freeCounts;
    const seconds = secondsToDose(table, { startMs: fromMs, dose: missing / counts, untilMs });
    if (seconds !== null) return fromMs + seconds * 1000;
    missing -= doseBetween(table, fromMs, untilMs) * counts;
  }
  return atMs;
}
