// The dose of a cloudy hour, told by a strip that lay beside the frame.
import type { MeasuredDose, SunFrame, WitnessAnswer, WitnessRequest } from "#shared/schema/sun/frame.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { witnessCommonSigmaLn, witnessSteps } from "#shared/prints/witness-steps.ts";
import { countedDose } from "#shared/sun/frames/counted-dose.ts";
import { readyScene, type SunScene } from "#shared/sun/sky/printing-strength.ts";
import { doseBetween, doseTable } from "#shared/sun/dose.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { turnsOf } from "#shared/sun/frames/turns.ts";
import { witnessedDose } from "#shared/sun/frames/witness-strip.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { Tools } from "#src/studio/tools.ts";
import { changeSunFrame } from "./sun-frames.ts";

type Keeping = Pick<Tools, "store">;

/** Dose over seconds of the test that the curve comes from. @throws InputError where it tells none */
function dosePerSecond(test: SavedTest): number {
  const { sun, exposureSeconds, tablet } = test.request;
  const seconds = exposureSeconds ?? (tablet.kind === "timed" ? Math.max(...tablet.seconds) : undefined);
  if (sun === undefined || sun === null || seconds === undefined)
    throw refusal("bad-request", { code: "witness-curve-not-of-sun" }, { field: "curveTestId" });
  const startMs = Date.parse(sun.startedAt);
  const dose = countedDose(sceneFrom(sun), { startMs, endMs: startMs + seconds * 1000 }).likely;
  return dose / seconds;
}

/**
 * Dose of a frame from the strip beside it: a timed strip printed under the same sky, by the curve of a test of the
 * same
 * coating in clear sun.
 * @throws InputError "not-found", or "bad-request" where strip or curve cannot tell
 */
function witnessDose({ store }: Keeping, frame: SunFrame, asked: WitnessRequest): WitnessAnswer {
  const strip = store.tests.get(asked.stripTestId);
  const by = store.tests.get(asked.curveTestId);
  const { tablet, sun } = strip.request;
  if (tablet.kind !== "timed" || sun === undefined || sun === null)
    throw refusal("bad-request", { code: "witness-no-strip" }, { field: "stripTestId" });
  if (by.curve === null || by.id === strip.id)
    throw refusal("bad-request", { code: "witness-curve-not-of-sun" }, { field: "curveTestId" });
  if (frame.endedAt === null) throw refusal("bad-request", { code: "frame-outside" }, { field: "endedAt" });
  const steps = witnessSteps(
    {
      reading: strip.reading,
      seconds: tablet.seconds,
      startMs: Date.parse(sun.startedAt),
      order: asked.order,
      channel: by.curve.channel,
    },
    { curve: by.curve, dosePerSecond: dosePerSecond(by) },
  );
  const span = { fromMs: Date.parse(frame.startedAt), untilMs: Date.parse(frame.endedAt) };
  const ends = [span, ...steps].flatMap(({ fromMs, untilMs }) => [fromMs, untilMs]);
  const clearDoseOn = (scene: SunScene): ((fromMs: number, untilMs: number) => number) => {
    const table = doseTable(readyScene(scene), {
      startMs: Math.min(...ends),
      endMs: Math.max(...ends),
      stepSeconds: 60,
    });
    return (fromMs, untilMs) => doseBetween(table, fromMs, untilMs);
  };
  const onStrip = clearDoseOn(sceneFrom({ ...sun, sky: undefined }));
  const told = witnessedDose({ steps, frame: span, clearDose: onStrip, commonSigmaLn: witnessCommonSigmaLn });
  if (told === null) throw refusal("bad-request", { code: "witness-tells-nothing" }, { field: "stripTestId" });
  // The strip may lie bare beside a frame under glass: the share of the clear sky's light is the same for both.
  const frameOverStrip =
    countedDose(sceneFrom({ ...frame, sky: undefined }), {
      startMs: span.fromMs,
      endMs: span.untilMs,
      turns: turnsOf(frame, frame.turns),
    }).likely / onStrip(span.fromMs, span.untilMs);
  const measuredDose: MeasuredDose = {
    likely: told.likely * frameOverStrip,
    lowest: told.lowest * frameOverStrip,
    highest: told.highest * frameOverStrip,
  };
  return { measuredDose, clearShare: told.clearShare, toldSteps: told.toldSteps };
}

/** Gives a frame the dose that its witness strip tells. @throws as `witnessDose` */
export function measureFrameByStrip({ store }: Keeping, id: string, asked: WitnessRequest): SunFrame {
  const { measuredDose } = witnessDose({ store }, store.sunFrames.get(id), asked);
  return changeSunFrame({ store }, id, { measuredDose });
}
