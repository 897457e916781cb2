// The answer to "how long, now?": a time with its range, or a plain reason why there is none.
import type { SunSeriesPoint, SunVerdict } from "#shared/schema/sun/exposure.ts";
import type { Sky } from "#shared/schema/sun/conditions.ts";
import type { Anchor } from "./anchors/anchor.ts";
import { combinedAnchors, type WantedDose } from "./anchors/combined-anchors.ts";
import { daylightEndMs, doseTable, secondsToDose, strengthAt, zenithAt, type DoseTable } from "./dose.ts";
import { modelRange, type SunSituation } from "./sky/model-range.ts";
import { readyScene, sunInScene, type SunScene } from "./sky/printing-strength.ts";
import { lowestUsefulHeightDegrees, sunDay, type Stretch, type SunDay } from "./sun-day.ts";
import { hiddenNodes, sunFreeUntilMs } from "./hidden-sun.ts";
import { cloudRange } from "./sky/surroundings.ts";
import { bestTilt, type TiltAdvice } from "./frames/frame-tilt.ts";

/** Why there is no time, more finely than the verdict; or what is to be kept in mind with one. */
export type SunNote =
  | "overcast"
  | "shade-needs-shade-anchor"
  | "sun-needs-sun-anchor"
  | "glass-differs"
  | "nothing-to-scale-by"
  | "sun-down"
  | "sun-low-at-start"
  | "sun-low-at-end"
  | "behind-horizon"
  | "horizon-before-end"
  | "frame-in-own-shadow"
  | "upper-not-reached"
  | "thin-cloud"
  | "passing-cloud"
  | "dose-without-conditions"
  | "other-season"
  | "far-from-anchor"
  | "elsewhere"
  | "anchors-disagree"
  | "turned-from-sun"
  | "low-sun";

/** What the time is drawn from: anchors, or a dose in the model's own unit [action-weighted J/m²]. */
type ScaledBy = { readonly anchors: readonly Anchor[] } | { readonly dose: number } | null;

export interface PlanRequest {
  readonly scene: SunScene;
  readonly sky: Sky;
  readonly startMs: number;
  /** The local day that contains the start [ms of UTC]. */
  readonly day: Stretch;
  readonly scaledBy: ScaledBy;
}

/** One start on the day's plot. */
interface DayPoint extends Omit<SunSeriesPoint, "at"> {
  readonly atMs: number;
}

export interface ExposurePlan {
  readonly verdict: SunVerdict;
  readonly notes: readonly SunNote[];
  readonly startMs: number;
  readonly seconds: number | null;
  readonly lowerSeconds: number | null;
  /** Null with a time: the slower end of the range is not reached before sunset. */
  readonly upperSeconds: number | null;
  readonly wanted: WantedDose | null;
  /** Strength at the start [action-weighted W/m²], and as a share of the day's best. */
  readonly strength: number;
  readonly strengthShare: number;
  readonly heightDegrees: number;
  readonly azimuthDegrees: number;
  readonly tilt: TiltAdvice | null;
  readonly sunDay: SunDay;
  /**
   * Stretch round the day's best in which the strength stays above nine tenths of it, the sun high enough; null on a
   * day without.
   */
  readonly bestWindow: Stretch | null;
  readonly points: readonly DayPoint[];
}

const dayMs = 86_400_000;
const pointStepMs = 600_000;
const bestWindowShare = 0.9; // within a sixth of a stop of the day's best
const lowestUsefulZenith = 90 - lowestUsefulHeightDegrees;

interface Timed {
  readonly verdict: "ok" | "not-before-sunset" | "sun-too-low";
  readonly notes: readonly SunNote[];
  readonly seconds: number | null;
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
  readonly wanted: WantedDose;
}

/** Wanted dose for an exposure under a sun of this height, from anchors or from a bare dose. */
function wantedDose(scaledBy: NonNullable<ScaledBy>, exposure: SunSituation): WantedDose {
  if ("anchors" in scaledBy) return combinedAnchors(scaledBy.anchors, exposure);
  const model = modelRange(null, exposure);
  return { dose: scaledBy.dose, lowerLn: model.share, upperLn: model.share, spreadLn: null, model };
}

/** Time from one start, with its range; the table reaches to the end of the exposure's daylight. */
function timeFrom(
  table: DoseTable,
  startMs: number,
  {
    scene,
    scaledBy,
    clouds,
    hidden,
  }: {
    scene: SunScene;
    scaledBy: NonNullable<ScaledBy>;
    clouds: { lowest: number; highest: number };
    hidden: readonly boolean[];
  },
): Timed {
  const startZenith = zenithAt(table, startMs);
  const freeUntilMs = sunFreeUntilMs(table, startMs, hidden);
  const first = wantedDose(scaledBy, { zenithDegrees: startZenith, middleMs: startMs, scene });
  const none = { seconds: null, lowerSeconds: null, upperSeconds: null, wanted: first };
  if (startZenith > lowestUsefulZenith)
    return { ...none, verdict: "sun-too-low", notes: [startZenith >= 90 ? "sun-down" : "sun-low-at-start"] };
  if (freeUntilMs <= startMs) return { ...none, verdict: "sun-too-low", notes: ["behind-horizon"] };
  const untilMs = Math.min(daylightEndMs(table, startMs), freeUntilMs);
  const hides: SunNote[] = freeUntilMs < daylightEndMs(table, startMs) ? ["horizon-before-end"] : [];
  const likely = secondsToDose(table, { startMs, dose: first.dose, untilMs });
  if (likely === null) return { ...none, verdict: "not-before-sunset", notes: hides };
  if (zenithAt(table, startMs + likely * 1000) > lowestUsefulZenith)
    return { ...none, verdict: "sun-too-low", notes: ["sun-low-at-end"] };
  // The range depends on the height of the sun in the middle of the exposure, which is known only now.
  const middleMs = startMs + likely * 500;
  const wanted = wantedDose(scaledBy, { zenithDegrees: zenithAt(table, middleMs), middleMs, scene });
  const secondsTo = (dose: number): number | null => secondsToDose(table, { startMs, dose, untilMs });
  const seconds = secondsTo(wanted.dose);
  if (seconds === null) return { ...none, verdict: "not-before-sunset", notes: hides };
  const upperSeconds = secondsTo((wanted.dose * Math.exp(wanted.upperLn)) / clouds.lowest);
  const lowerSeconds = secondsTo((wanted.dose * Math.exp(-wanted.lowerLn)) / clouds.highest);
  return {
    verdict: "ok",
    notes: upperSeconds === null ? ["upper-not-reached"] : [],
    seconds,
    lowerSeconds,
    upperSeconds,
    wanted,
  };
}

/** Whether sky, light and glass let the anchors speak for this exposure. */
function obstacle(request: PlanRequest): { verdict: SunVerdict; note: SunNote } | null {
  const { scene, scaledBy } = request;
  if (cloudRange(request.sky) === null) return { verdict: "sky-unsuitable", note: "overcast" };
  if (scaledBy === null || ("anchors" in scaledBy && scaledBy.anchors.length === 0))
    return { verdict: "no-anchor", note: "nothing-to-scale-by" };
  if ("anchors" in scaledBy) {
    if (scaledBy.anchors.some((anchor) => anchor.scene.light !== scene.light)) {
      return {
        verdict: "sky-unsuitable",
        note: scene.light === "open-shade" ? "shade-needs-shade-anchor" : "sun-needs-sun-anchor",
      };
    }
    if (scaledBy.anchors.some((anchor) => anchor.scene.glass !== scene.glass))
      return { verdict: "no-anchor", note: "glass-differs" };
  } else if (scene.light === "open-shade") return { verdict: "sky-unsuitable", note: "shade-needs-shade-anchor" };
  return null;
}

/** Stretch round the day's strongest point that stays near it with a high enough sun. */
function bestWindow(points: readonly Pick<DayPoint, "atMs" | "strengthShare" | "heightDegrees">[]): Stretch | null {
  const best = points.findIndex((point) => point.strengthShare === 1);
  const good = (i: number): boolean =>
    (points[i]?.strengthShare ?? 0) >= bestWindowShare && (points[i]?.heightDegrees ?? 0) >= lowestUsefulHeightDegrees;
  if (best < 0 || !good(best)) return null;
  let from = best;
  let until = best;
  while (good(from - 1)) from -= 1;
  while (good(until + 1)) until += 1;
  return { fromMs: points[from]?.atMs ?? 0, untilMs: points[until]?.atMs ?? 0 };
}

/** Anchors that differ by more than a third of a stop are not of one print, or one of them is a slip: our judgement. */
const disagreeingSpreadLn = Math.LN2 / 3;
/**
 * A frame that could gain more than this by turning is turned from the sun, and a degree more or less counts for much.
 */
const turnedGain = 2.5;

/** Another height, tilt, ground or place that widens the range by more than this is worth a word: our judgement. */
const notableShare = 0.05;

/** What to keep in mind with a time. */
function keepInMind(request: PlanRequest, wanted: WantedDose): SunNote[] {
  const notes: SunNote[] = [];
  if (request.sky === "thin-cloud" || request.sky === "passing-cloud") notes.push(request.sky);
  if (request.scaledBy !== null && "dose" in request.scaledBy) return [...notes, "dose-without-conditions"];
  if (wanted.spreadLn !== null && wanted.spreadLn > disagreeingSpreadLn) notes.push("anchors-disagree");
  if (wanted.model.otherSeason) notes.push("other-season");
  if (wanted.model.zenithApartDegrees > 20) notes.push("far-from-anchor");
  if (wanted.model.elsewhereShare > notableShare) notes.push("elsewhere");
  if (wanted.model.lowSun) notes.push("low-sun");
  return notes;
}

/** What a time is reckoned by; null where nothing gives one. */
function timingOf({ scene, sky, scaledBy }: PlanRequest) {
  const clouds = cloudRange(sky);
  return scaledBy === null || clouds === null ? null : { scene, scaledBy, clouds };
}

/**
 * Plan of one exposure under the sun and of the day round it.
 * @param request scene, sky, start and local day [ms of UTC], and what the time is scaled by
 * @returns verdict `ok` with a time, else no time at all: `not-before-sunset`, `sun-too-low` (below 10° at start or
 *   end), `no-anchor`, `sky-unsuitable`.
 * Valid: the horizon as told, free where none is. Clouds widen the range and never move the time.
 * Source: SunAnchor; limits and ranges are judgement.
 */
export function exposurePlan(request: PlanRequest): ExposurePlan {
  const ready = readyScene(request.scene);
  const startOfDayMs = Math.min(request.day.fromMs, request.startMs);
  const table = doseTable(ready, {
    startMs: startOfDayMs,
    endMs: Math.max(request.day.untilMs, request.startMs + dayMs),
  });
  const blocked = obstacle(request);
  const hidden = hiddenNodes(table, ready);
  const asked = blocked === null ? timingOf(request) : null;
  const timing = asked === null ? null : { ...asked, hidden };
  const timed = timing === null ? null : timeFrom(table, request.startMs, timing);

  const starts = startsOfDay(table, request.day);
  const strongest = starts.reduce((best, atMs) => Math.max(best, strengthAt(table, atMs)), 0);
  const share = (strength: number): number => (strongest > 0 ? strength / strongest : 0);
  const timesFrom = (atMs: number): Times => timesOf(timing === null ? null : timeFrom(table, atMs, timing));
  const points = starts.map((atMs): DayPoint => {
    const strength = strengthAt(table, atMs);
    return {
      atMs,
      heightDegrees: 90 - zenithAt(table, atMs),
      azimuthDegrees: sunInScene(ready, atMs).azimuthDegrees,
      strength,
      strengthShare: share(strength),
      ...timesFrom(atMs),
    };
  });

  const strength = strengthAt(table, request.startMs);
  const tilt = bestTilt(request.scene, request.startMs);
  const sun = sunInScene(ready, request.startMs);
  const notes = [
    ...(blocked === null ? [] : [blocked.note]),
    ...(timed?.notes ?? []),
    ...(timed === null || timed.seconds === null ? [] : keepInMind(request, timed.wanted)),
    ...turnedAway(request, tilt),
  ];
  return {
    verdict: blocked?.verdict ?? timed?.verdict ?? "no-anchor",
    notes,
    startMs: request.startMs,
    ...timesOf(timed),
    wanted: timed?.wanted ?? null,
    strength,
    strengthShare: share(strength),
    heightDegrees: 90 - sun.zenithDegrees,
    azimuthDegrees: sun.azimuthDegrees,
    tilt,
    sunDay: sunDay(ready, request.day),
    bestWindow: bestWindow(points),
    points,
  };
}

type Times = Pick<DayPoint, "seconds" | "lowerSeconds" | "upperSeconds">;

const timesOf = (time: Times | null): Times => ({
  seconds: time?.seconds ?? null,
  lowerSeconds: time?.lowerSeconds ?? null,
  upperSeconds: time?.upperSeconds ?? null,
});

/** Starts over a day at which the sun is up [ms of UTC]. */
function startsOfDay(table: DoseTable, day: PlanRequest["day"]): number[] {
  const starts: number[] = [];
  for (let atMs = day.fromMs; atMs < day.untilMs; atMs += pointStepMs)
    if (zenithAt(table, atMs) < 90) starts.push(atMs);
  return starts;
}

/** A tilted frame that would get clearly more light if it were turned. */
function turnedAway({ scene }: PlanRequest, tilt: ExposurePlan["tilt"]): SunNote[] {
  return tilt !== null && scene.plane.tiltDegrees > 0 && tilt.gain > turnedGain ? ["turned-from-sun"] : [];
}
