// A saved test that was printed in the sun, as an anchor.
import { maxAnchorSeconds } from "#shared/limits.ts";
import type { LampInput } from "#shared/schema/materials.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import type { AnchorExposure } from "./anchor.ts";
import { doseBetween, doseTable } from "#shared/sun/dose.ts";
import { readyScene } from "#shared/sun/sky/printing-strength.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { cloudRange } from "#shared/sun/sky/surroundings.ts";

/** Why a test cannot serve as an anchor. */
export type NoAnchorReason = "no-sun-conditions" | "no-advice" | "no-exposure-time" | "too-long" | "under-cloud";

/** The part of a test that an anchor needs. */
export type AnchorTest = Pick<SavedTest, "exposure"> & {
  readonly request: Pick<SavedTest["request"], "sun" | "exposureSeconds" | "tablet">;
};

/**
 * The exposure of a saved test and the multiple of its dose that the wanted tone needs.
 *
 * The advised seconds stand on the axis of the test's own seconds: through a density D a step got the test's dose times
 * 10^-D, so the advised seconds over the test's seconds is the wanted multiple of its dose, whatever the sun did
 * meanwhile. A strip uncovered in steps gets its steps at different times; whether the long steps began first or all
 * ended together is not known, so the mean strength of the whole test is taken, and the difference widens the range.
 * @param lampKind of the test's lamp: `shade` counts as open shade unless the test says its sky
 * Source: SunAnchor.
 */
export function anchorExposureOfTest(
  test: AnchorTest,
  lampKind: LampInput["kind"] | undefined,
): AnchorExposure | NoAnchorReason {
  const { sun, tablet } = test.request;
  if (sun === undefined || sun === null) return "no-sun-conditions";
  const sky = sun.sky ?? (lampKind === "shade" ? "open-shade" : "clear");
  const clouds = cloudRange(sky);
  if (clouds === null) return "under-cloud";
  const { seconds, lowerSeconds, upperSeconds } = test.exposure;
  if (seconds === null) return "no-advice";
  const timed = tablet.kind === "timed";
  const exposureSeconds = timed ? Math.max(...tablet.seconds) : test.request.exposureSeconds;
  if (exposureSeconds === undefined) return "no-exposure-time";
  if (exposureSeconds > maxAnchorSeconds) return "too-long";
  const scene = sceneFrom({ ...sun, sky });
  const startMs = Date.parse(sun.startedAt);
  const lowerLn = Math.log(seconds / (lowerSeconds ?? seconds));
  const upperLn = Math.log((upperSeconds ?? seconds) / seconds);
  const drift = timed
    ? driftLn({ scene, startMs, exposureSeconds, partSeconds: Math.min(seconds, exposureSeconds) })
    : 0;
  const wantedMultiple = seconds / exposureSeconds;
  return {
    scene,
    startMs,
    exposureSeconds,
    wantedMultiple,
    lowerMultiple: wantedMultiple * Math.exp(-Math.hypot(lowerLn, drift, Math.log(clouds.lowest))),
    upperMultiple: wantedMultiple * Math.exp(Math.hypot(upperLn, drift, Math.log(clouds.highest))),
  };
}

/** Half the difference in ln dose between the first and the last part of an exposure. */
function driftLn(of: {
  scene: AnchorExposure["scene"];
  startMs: number;
  exposureSeconds: number;
  partSeconds: number;
}): number {
  const endMs = of.startMs + of.exposureSeconds * 1000;
  const table = doseTable(readyScene(of.scene), { startMs: of.startMs, endMs, stepSeconds: 60 });
  const first = doseBetween(table, of.startMs, of.startMs + of.partSeconds * 1000);
  const last = doseBetween(table, endMs - of.partSeconds * 1000, endMs);
  return first > 0 && last > 0 ? Math.abs(Math.log(first / last)) / 2 : 0;
}
