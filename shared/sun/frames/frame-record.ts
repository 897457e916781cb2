// A frame as it is kept, and as the dose clock reckons with it.
import type { SunFrame, SunFrameInput, SunFrameNow } from "#shared/schema/sun/frame.ts";
import type { SunAnchorInput } from "#shared/schema/sun/exposure.ts";
import { doseClockReading, type DoseClockReading, type FrameOutside } from "./dose-clock.ts";
import { clockOfZone, isoInstant } from "#shared/sun/local-clock.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { turnsOf } from "./turns.ts";

/** What the dose clock needs of a kept frame. */
function frameOutsideOf(frame: SunFrameInput): FrameOutside {
  return {
    scene: sceneFrom(frame),
    startMs: Date.parse(frame.startedAt),
    hidden: frame.hidden.map(({ fromAt, untilAt }) => ({
      fromMs: Date.parse(fromAt),
      untilMs: untilAt === null ? null : Date.parse(untilAt),
    })),
    turns: turnsOf(frame, frame.turns),
    cloudMinutes: frame.cloudMinutes,
    // A strip tells of the whole time outside, so only once the frame is in.
    measured: frame.endedAt === null ? null : frame.measuredDose,
    wanted: {
      dose: frame.dose,
      lowerLn: Math.log(frame.dose / frame.lowerDose),
      upperLn: Math.log(frame.upperDose / frame.dose),
    },
  };
}

/** A frame is counted for two days at most: what lies out longer was forgotten, and more light tells nothing. */
const longestCountedMs = 2 * 86_400_000;

/**
 * Reading of a kept frame: at an instant [ms of UTC] while it is outside, else at its end; after two days outside, at
 * their end.
 */
export function frameReading(frame: SunFrameInput, atMs: number): DoseClockReading {
  const untilMs = frame.endedAt === null ? atMs : Date.parse(frame.endedAt);
  return doseClockReading(frameOutsideOf(frame), Math.min(untilMs, Date.parse(frame.startedAt) + longestCountedMs));
}

/** The same for the wire: instants by the frame's own clock. */
export function frameNow(frame: SunFrame, atMs: number): SunFrameNow {
  const reading = frameReading(frame, atMs);
  const clock = clockOfZone(frame.timeZone);
  const at = (ms: number | null): string | null => (ms === null ? null : isoInstant(clock, ms));
  return {
    share: reading.share,
    lowerShare: reading.lowerShare,
    upperShare: reading.upperShare,
    hiddenSeconds: reading.hiddenSeconds,
    bringInAt: frame.endedAt === null ? at(reading.bringInMs) : null,
    earliestAt: frame.endedAt === null ? at(reading.earliestMs) : null,
    latestAt: frame.endedAt === null ? at(reading.latestMs) : null,
    reachedAt: at(reading.reachedMs),
    stopsOver: reading.share > 1 ? Math.log2(reading.share) : null,
  };
}

/** The anchor that a judged frame becomes. `neededStops`: 0 came out right, 1 needs twice the light, -1 half. */
export function anchorOfFrame(
  frame: SunFrame & { readonly endedAt: string },
  judged: { readonly name: string; readonly neededStops: number },
): SunAnchorInput {
  return {
    name: judged.name,
    notes: "",
    latitude: frame.latitude,
    longitude: frame.longitude,
    tiltDegrees: frame.tiltDegrees,
    facingDegrees: frame.facingDegrees,
    elevationM: frame.elevationM,
    sky: frame.sky,
    ground: frame.ground,
    haze: frame.haze,
    glass: frame.glass,
    startedAt: frame.startedAt,
    endedAt: frame.endedAt,
    hidden: frame.hidden.map(({ fromAt, untilAt }) => ({ fromAt, untilAt: untilAt ?? frame.endedAt })),
    turns: frame.turns,
    cloudMinutes: frame.cloudMinutes,
    measuredDose: frame.measuredDose,
    neededStops: judged.neededStops,
    supportId: frame.supportId,
    coatingId: frame.coatingId,
    filmId: frame.filmId,
  };
}
