// What a frame got while it was outside: the model's dose, hidden minutes counted for less, turns and added glass as
// they were.
import { doseBetween, doseTable } from "#shared/sun/dose.ts";
import { readyScene, type SunScene } from "#shared/sun/sky/printing-strength.ts";
import { hiddenSunShares } from "#shared/sun/sky/surroundings.ts";

/** From when on a frame lay otherwise, or under glass. */
export interface Turn {
  readonly fromMs: number;
  readonly scene: SunScene;
}

/** A frame's time outside [ms of UTC]. */
export interface TimeOutside {
  readonly startMs: number;
  readonly endMs: number;
  /** Stretches in which the sun was hidden; overlaps count once. */
  readonly hidden?: readonly { readonly fromMs: number; readonly untilMs: number }[];
  /** How the frame was turned on the way, rising by time. */
  readonly turns?: readonly Turn[];
  /** Minutes of hidden sun whose time nobody noted: taken from all free minutes evenly. */
  readonly cloudMinutes?: number;
}

/**
 * Dose on a frame while it was outside, with hidden sun counted at its likely, lowest and highest share [action-
 * weighted J/m²].
 */
export interface CountedDose {
  readonly likely: number;
  readonly lowest: number;
  readonly highest: number;
}

/** Doubt of the light under glass that was added or taken away on the way, as a share: panes differ. Our judgement. */
const otherGlassShare = 0.1;

/** Step of the sum [s]: one minute, five for exposures over six hours. */
const stepFor = (exposureMs: number): number => (exposureMs > 6 * 3_600_000 ? 300 : 60);

/** A stretch of time in which the frame lay still, and what fell on it. */
interface Piece {
  readonly isOtherGlass: boolean;
  readonly free: number;
  readonly hidden: number;
  readonly freeMs: number;
}

function pieceOf(scene: SunScene, first: SunScene, outside: TimeOutside): Piece {
  const { startMs, endMs } = outside;
  const table = doseTable(readyScene(scene), { startMs, endMs, stepSeconds: stepFor(endMs - startMs) });
  let hidden = 0;
  let hiddenMs = 0;
  let countedUntilMs = startMs;
  for (const stretch of [...(outside.hidden ?? [])].sort((a, b) => a.fromMs - b.fromMs)) {
    const fromMs = Math.max(stretch.fromMs, countedUntilMs);
    const untilMs = Math.min(stretch.untilMs, endMs);
    if (untilMs <= fromMs) continue;
    hidden += doseBetween(table, fromMs, untilMs);
    hiddenMs += untilMs - fromMs;
    countedUntilMs = untilMs;
  }
  return {
    isOtherGlass: scene.glass !== first.glass,
    free: doseBetween(table, startMs, endMs) - hidden,
    hidden,
    freeMs: endMs - startMs - hiddenMs,
  };
}

/**
 * Share of the free minutes that were hidden without being noted, 0-1.
 * @param freeMs minutes outside without the noted hidden ones [ms]
 */
export function unnotedShare(cloudMinutes: number, freeMs: number): number {
  return freeMs > 0 ? Math.min(1, (cloudMinutes * 60_000) / freeMs) : 0;
}

/**
 * Dose on a frame between two instants, minutes of hidden sun counted at 0.45 (0.25 to 0.75).
 * @param scene how the frame went out
 * @param outside start and end [ms of UTC], hidden stretches, turns and minutes of cloud that nobody timed
 * @returns all 0 when the end is not after the start
 * Source: HelsinkiUva.
 */
export function countedDose(scene: SunScene, outside: TimeOutside): CountedDose {
  if (outside.endMs <= outside.startMs) return { likely: 0, lowest: 0, highest: 0 };
  const starts: Turn[] = [{ fromMs: outside.startMs, scene }];
  for (const turn of outside.turns ?? []) {
    if (turn.fromMs <= outside.startMs) starts[0] = { fromMs: outside.startMs, scene: turn.scene };
    else if (turn.fromMs < outside.endMs) starts.push(turn);
  }
  const pieces = starts.map(({ fromMs, scene: here }, index) =>
    pieceOf(here, scene, { ...outside, startMs: fromMs, endMs: starts[index + 1]?.fromMs ?? outside.endMs }),
  );
  const unnoted = unnotedShare(
    outside.cloudMinutes ?? 0,
    pieces.reduce((sum, piece) => sum + piece.freeMs, 0),
  );
  const total = (hiddenShare: number, otherGlass: number): number =>
    pieces.reduce((sum, piece) => {
      const free = piece.free * (1 - unnoted);
      const hidden = piece.hidden + piece.free * unnoted;
      return sum + (free + hidden * hiddenShare) * (piece.isOtherGlass ? otherGlass : 1);
    }, 0);
  return {
    likely: total(hiddenSunShares.likely, 1),
    lowest: total(hiddenSunShares.lowest, 1 - otherGlassShare),
    highest: total(hiddenSunShares.highest, 1 + otherGlassShare),
  };
}
