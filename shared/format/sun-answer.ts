// A plan of the core becomes the answer that is sent.
import { roundedTo } from "./number.ts";
import type { SunExposureAnswer } from "#shared/schema/sun/exposure.ts";
import type { ExposurePlan } from "#shared/sun/exposure-plan.ts";
import { calendarDay, isoInstant, type LocalClock } from "#shared/sun/local-clock.ts";

// Rounded for the wire: a tenth of a second, a hundredth of a degree, four digits of strength.
const secondsOrNull = (seconds: number | null): number | null => (seconds === null ? null : roundedTo(seconds, 1));

/** The plan as it is answered: instants by the clock of the place, numbers rounded. */
export function answerOfPlan(
  plan: ExposurePlan,
  clock: LocalClock,
): Omit<SunExposureAnswer, "reasons" | "warnings" | "anchors" | "haze" | "hazeFitted" | "sky" | "glass"> {
  const at = (ms: number): string => isoInstant(clock, ms);
  const stretch = ({ fromMs, untilMs }: { fromMs: number; untilMs: number }): { fromAt: string; untilAt: string } => ({
    fromAt: at(fromMs),
    untilAt: at(untilMs),
  });
  const { seconds, wanted, sunDay, tilt } = plan;
  return {
    seconds: secondsOrNull(seconds),
    endAt: seconds === null ? null : at(plan.startMs + seconds * 1000),
    lowerSeconds: secondsOrNull(plan.lowerSeconds),
    upperSeconds: secondsOrNull(plan.upperSeconds),
    verdict: plan.verdict,
    startAt: at(plan.startMs),
    dose: wanted === null ? null : roundedTo(wanted.dose, 1),
    lowerDose: wanted === null ? null : roundedTo(wanted.dose * Math.exp(-wanted.lowerLn), 1),
    upperDose: wanted === null ? null : roundedTo(wanted.dose * Math.exp(wanted.upperLn), 1),
    anchorSpread: wanted?.spreadLn ?? null,
    sun: {
      heightDegrees: roundedTo(plan.heightDegrees, 2),
      azimuthDegrees: roundedTo(plan.azimuthDegrees, 2),
      strength: roundedTo(plan.strength, 3),
      strengthShare: roundedTo(plan.strengthShare, 4),
    },
    tilt: tilt === null ? null : { ...tilt, gain: roundedTo(tilt.gain, 3) },
    day: {
      date: calendarDay(clock, plan.startMs),
      kind: sunDay.kind,
      sunriseAt: sunDay.sunriseMs === null ? null : at(sunDay.sunriseMs),
      sunsetAt: sunDay.sunsetMs === null ? null : at(sunDay.sunsetMs),
      highestAt: at(sunDay.highestMs),
      highestHeightDegrees: roundedTo(sunDay.highestHeightDegrees, 2),
      useful: sunDay.useful.map(stretch),
      bestWindow: plan.bestWindow === null ? null : stretch(plan.bestWindow),
    },
    series: plan.points.map((point) => ({
      at: at(point.atMs),
      heightDegrees: roundedTo(point.heightDegrees, 2),
      azimuthDegrees: roundedTo(point.azimuthDegrees, 2),
      strength: roundedTo(point.strength, 3),
      strengthShare: roundedTo(point.strengthShare, 4),
      seconds: secondsOrNull(point.seconds),
      lowerSeconds: secondsOrNull(point.lowerSeconds),
      upperSeconds: secondsOrNull(point.upperSeconds),
    })),
  };
}
