// An anchor kept from the dose clock: a print judged by eye.
import type { SunAnchorInput } from "#shared/schema/sun/exposure.ts";
import type { AnchorExposure } from "./anchor.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { turnsOf } from "#shared/sun/frames/turns.ts";

/**
 * 95 % half-range of judging a print's depth by eye, in stops, when it came out right, and for each stop that it was
 * off. Our judgement.
 */
const eyeStops = 1 / 3;
const eyeStopsForEachStop = 0.5;

/**
 * The exposure of a kept anchor, with the range of a judgement by eye.
 * Source: SunAnchor; the eye's range is judgement.
 */
export function anchorExposureOfKept(kept: SunAnchorInput): AnchorExposure {
  const startMs = Date.parse(kept.startedAt);
  const halfStops = Math.hypot(eyeStops, eyeStopsForEachStop * kept.neededStops);
  return {
    scene: sceneFrom(kept),
    startMs,
    exposureSeconds: (Date.parse(kept.endedAt) - startMs) / 1000,
    hidden: kept.hidden.map((stretch) => ({
      fromMs: Date.parse(stretch.fromAt),
      untilMs: Date.parse(stretch.untilAt),
    })),
    turns: turnsOf(kept, kept.turns),
    cloudMinutes: kept.cloudMinutes,
    ...(kept.measuredDose ? { measured: kept.measuredDose } : {}),
    wantedMultiple: 2 ** kept.neededStops,
    lowerMultiple: 2 ** (kept.neededStops - halfStops),
    upperMultiple: 2 ** (kept.neededStops + halfStops),
  };
}
