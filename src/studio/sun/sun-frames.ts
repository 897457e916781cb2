// Frames outside: put out by a plan, set right while they lie there or afterwards, judged when the print is dry.
import {
  sunFrameInputSchema,
  type BeginSunFrame,
  type JudgeSunFrame,
  type SunFrame,
  type SunFrameInput,
  type SunFramePatch,
} from "#shared/schema/sun/frame.ts";
import type { SunAnchor, SunExposureAnswer } from "#shared/schema/sun/exposure.ts";
import { anchorOfFrame, frameReading } from "#shared/sun/frames/frame-record.ts";
import { zoneOfStart } from "#shared/sun/local-clock.ts";
import { isUnbelievable } from "#shared/words/sun/dose-clock-words.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";
import { keepSunAnchor } from "./keep-sun-anchor.ts";
import { planSunExposure } from "./plan-sun-exposure.ts";

type Keeping = Pick<Tools, "store">;

/** Most frames that are kept at once; a studio that wants more has forgotten to judge some. */
const mostFrames = 200;

/**
 * Puts a frame outside by a plan.
 * @throws InputError "bad-request" when the plan gives no time
 */
export function beginSunFrame({ store }: Keeping, { name, plan }: BeginSunFrame): SunFrame {
  if (store.sunFrames.list().length >= mostFrames)
    throw refusal("bad-request", { code: "too-many-frames", most: mostFrames }, { field: "name" });
  const answer = planSunExposure({ store }, plan);
  if (answer.dose === null || answer.lowerDose === null || answer.upperDose === null || answer.seconds === null)
    throw refusal("bad-request", { code: "plan-without-time", reason: answer.reasons[0] ?? null }, { field: "plan" });
  const frame: SunFrameInput = {
    name,
    startedAt: answer.startAt,
    endedAt: null,
    hidden: [],
    cloudMinutes: 0,
    turns: [],
    measuredDose: null,
    latitude: plan.latitude,
    longitude: plan.longitude,
    tiltDegrees: plan.tiltDegrees,
    facingDegrees: plan.facingDegrees,
    elevationM: plan.elevationM ?? 0,
    sky: answer.sky,
    ground: plan.ground ?? "grass",
    haze: answer.haze,
    glass: answer.glass,
    timeZone: zoneOfStart({ startedAt: answer.startAt, timeZone: plan.timeZone }),
    dose: answer.dose,
    lowerDose: answer.lowerDose,
    upperDose: answer.upperDose,
    anchorNames: answer.anchors.map((anchor) => anchor.name),
    ...sharedMaterials(store, answer),
    anchorId: null,
  };
  return forWriting(store).sunFrames.create(frame);
}

/** Materials that all anchors of a plan share; null where they differ or are not known. */
function sharedMaterials(
  store: Keeping["store"],
  answer: SunExposureAnswer,
): Pick<SunFrameInput, "supportId" | "coatingId" | "filmId"> {
  const each = answer.anchors.map(({ kind, id }) =>
    kind === "test" ? store.tests.find(id)?.request : store.sunAnchors.find(id),
  );
  const common = (field: "supportId" | "coatingId" | "filmId"): string | null => {
    const ids = new Set(each.map((anchor) => anchor?.[field] ?? null));
    return ids.size === 1 ? ([...ids][0] ?? null) : null;
  };
  return { supportId: common("supportId"), coatingId: common("coatingId"), filmId: common("filmId") };
}

/**
 * Sets a frame right: start, end, hidden stretches, turns, name. What is not named stays. A frame that comes in has no
 * sun hidden any more.
 * @throws InputError "not-found", or "bad-request" when the times contradict each other
 */
export function changeSunFrame({ store }: Keeping, id: string, changes: SunFramePatch): SunFrame {
  const before = store.sunFrames.get(id);
  const after = { ...before, ...changes };
  const endedAt = after.endedAt ?? null;
  const listed = changes.hidden ?? before.hidden;
  const hidden = endedAt === null ? listed : listed.map((each) => ({ ...each, untilAt: each.untilAt ?? endedAt }));
  const parsed = sunFrameInputSchema.safeParse({ ...after, hidden });
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    throw refusal(
      "bad-request",
      { code: "frame-contradicts-itself", found: issue?.message ?? null },
      { field: String(issue?.path[0] ?? "name") },
    );
  }
  return forWriting(store).sunFrames.replace(id, parsed.data);
}

/**
 * Judges the dry print of a frame and keeps its exposure as an anchor.
 * @throws InputError "not-found"; "bad-request" while it is outside, or when it got far more or less light than
 * planned and nobody says that it did
 */
export function judgeSunFrame({ store }: Keeping, id: string, judged: JudgeSunFrame): SunAnchor {
  const frame = store.sunFrames.get(id);
  const { endedAt } = frame;
  if (endedAt === null) throw refusal("bad-request", { code: "frame-outside" }, { field: "neededStops" });
  const { share } = frameReading(frame, Date.parse(endedAt));
  if (isUnbelievable(share) && !judged.sure) {
    const outsideSeconds = (Date.parse(endedAt) - Date.parse(frame.startedAt)) / 1000;
    throw refusal("bad-request", { code: "frame-unbelievable", share, outsideSeconds }, { field: "sure" });
  }
  const known = (table: { find(id: string): unknown }, materialId: string | null): string | null =>
    materialId !== null && table.find(materialId) !== undefined ? materialId : null;
  const input = anchorOfFrame(
    {
      ...frame,
      endedAt,
      supportId: known(store.supports, frame.supportId),
      coatingId: known(store.coatings, frame.coatingId),
      filmId: known(store.films, frame.filmId),
    },
    { name: judged.name || frame.name, neededStops: judged.neededStops },
  );
  const writing = forWriting(store);
  return writing.transaction(() => {
    if (frame.anchorId !== null && store.sunAnchors.find(frame.anchorId) !== undefined)
      writing.sunAnchors.remove(frame.anchorId);
    const anchor = keepSunAnchor({ store }, input);
    writing.sunFrames.replace(id, { ...frame, anchorId: anchor.id });
    return anchor;
  });
}

/** Forgets a frame; the anchor that it became stays. @throws InputError "not-found" */
export function forgetSunFrame({ store }: Keeping, id: string): void {
  forWriting(store).sunFrames.remove(id);
}
