// Plans an exposure under the sun, scaled by anchors from the store or by a given dose.
import { answerOfPlan } from "#shared/format/sun-answer.ts";
import { sunReasons, sunWarnings, unfitAnchorSentence } from "#shared/words/sun/sun-reasons.ts";
import type { SunExposureAnswer, SunExposureRequest, UsedAnchor } from "#shared/schema/sun/exposure.ts";
import { anchorFrom, fittedHaze, type Anchor, type AnchorExposure, type HazeFit } from "#shared/sun/anchors/anchor.ts";
import { anchorExposureOfTest } from "#shared/sun/anchors/anchor-test.ts";
import { exposurePlan } from "#shared/sun/exposure-plan.ts";
import { anchorExposureOfKept } from "#shared/sun/anchors/kept-anchor.ts";
import {
  calendarDay,
  clockFitsLongitude,
  clockOfOffset,
  clockOfZone,
  dayStretch,
  isoInstant,
} from "#shared/sun/local-clock.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { usualHaze } from "#shared/sun/sky/surroundings.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import { inPlainWords } from "#shared/words/trouble-words.ts";
import type { SunPlanWarning, UnfitAnchor } from "#shared/sun/plan-facts.ts";
import { refusal } from "#shared/words/refusal-words.ts";
import type { Tools } from "#src/studio/tools.ts";

/** An anchor of the store before the model has weighed it. */
interface Candidate {
  readonly id: string;
  readonly kind: UsedAnchor["kind"];
  readonly name: string;
  readonly exposure: AnchorExposure;
  /** Support, coating and film; null where not known. */
  readonly materials: readonly (string | null)[];
}

interface Weighed {
  readonly candidate: Candidate;
  readonly anchor: Anchor;
}

/**
 * Answers how long a print needs under the sun, and how strong the sun is over that day.
 *
 * @throws InputError "bad-request" that names the field for an unknown anchor or time zone
 */
export function planSunExposure({ store }: Pick<Tools, "store">, request: SunExposureRequest): SunExposureAnswer {
  const { timeZone } = request;
  const clock = timeZone === undefined ? clockOfOffset(request.startAt) : inPlainWords(() => clockOfZone(timeZone));
  const { candidates, unfit: unfitTests } = anchorsOf({ store }, request);
  const fit = request.fitHaze ? fittedHaze(candidates.map((candidate) => candidate.exposure)) : null;
  const { weighed, lightless } = weighedAnchors(candidates, fit);
  const unfit = [...unfitTests, ...lightless];
  const scene = sceneLike(weighed[0], request, fit);
  const startMs = Date.parse(request.startAt);
  const anchors = weighed.length > 0 ? { anchors: weighed.map(({ anchor }) => anchor) } : null;
  const plan = exposurePlan({
    scene: scene.scene,
    sky: scene.sky,
    startMs,
    day: dayStretch(clock, calendarDay(clock, startMs)),
    scaledBy: request.dose === undefined ? anchors : { dose: request.dose },
  });
  const named = weighed.map(({ candidate, anchor }) => ({
    name: candidate.name,
    atMs: anchor.middleMs,
    heightDegrees: 90 - anchor.zenithDegrees,
  }));
  const reasons = sunReasons(plan, { clock, anchors: named, hazeFitted: fit?.haze ?? null });
  const isUnanchored = plan.verdict === "no-anchor";
  const warnings: SunPlanWarning[] = [
    ...hazeWarnings(request, fit),
    ...(haveDifferentMaterials(candidates) ? [{ code: "anchors-differ" as const }] : []),
    ...(timeZone !== undefined && !clockFitsLongitude(clock, request.longitude, startMs)
      ? [{ code: "clock-does-not-fit" as const }]
      : []),
    ...(isUnanchored ? [] : unfit.map((each) => ({ code: "anchor-left-out" as const, ...each }))),
  ];
  return {
    ...answerOfPlan(plan, clock),
    reasons: isUnanchored && unfit.length > 0 ? [...unfit.map(unfitAnchorSentence), ...reasons.slice(0, 1)] : reasons,
    warnings: sunWarnings(plan, warnings),
    anchors: weighed.map(({ candidate, anchor }) => ({
      id: candidate.id,
      kind: candidate.kind,
      name: candidate.name,
      dose: anchor.dose,
      at: isoInstant(clock, anchor.middleMs),
      heightDegrees: 90 - anchor.zenithDegrees,
    })),
    haze: scene.haze,
    hazeFitted: fit !== null,
    sky: scene.sky,
    glass: scene.scene.glass,
  };
}

/** The doses of the anchors, under the fitted haze where there is one, and those that got no light. */
function weighedAnchors(
  candidates: readonly Candidate[],
  fit: HazeFit | null,
): { readonly weighed: readonly Weighed[]; readonly lightless: readonly UnfitAnchor[] } {
  const weighed: Weighed[] = [];
  const lightless: UnfitAnchor[] = [];
  for (const candidate of candidates) {
    const { exposure } = candidate;
    const anchor = anchorFrom(
      candidate.name,
      fit === null ? exposure : { ...exposure, scene: { ...exposure.scene, haze: fit.haze } },
    );
    if (anchor === null) lightless.push({ name: candidate.name, reason: "no-light" });
    else weighed.push({ candidate, anchor });
  }
  return { weighed, lightless };
}

/** The scene that is asked for; what it leaves open is as at the first anchor. */
function sceneLike(first: Weighed | undefined, request: SunExposureRequest, fit: HazeFit | null) {
  const haze = fit?.haze ?? request.haze ?? first?.candidate.exposure.scene.haze ?? usualHaze;
  const sky = request.sky ?? (first?.anchor.scene.light === "open-shade" ? "open-shade" : "clear");
  return { haze, sky, scene: sceneFrom({ ...request, sky, haze, glass: request.glass ?? first?.anchor.scene.glass }) };
}

function hazeWarnings(request: SunExposureRequest, fit: HazeFit | null): SunPlanWarning[] {
  if (request.fitHaze && fit === null) return [{ code: "haze-not-fitted" }];
  return fit?.atBound ? [{ code: "haze-at-bound" }] : [];
}

/** The anchors that a request names, and those that cannot serve. */
function anchorsOf(
  { store }: Pick<Tools, "store">,
  request: SunExposureRequest,
): { candidates: Candidate[]; unfit: UnfitAnchor[] } {
  const candidates: Candidate[] = [];
  const unfit: UnfitAnchor[] = [];
  const add = (id: string, field: string): void => {
    const test = store.tests.find(id);
    if (test === undefined) throw refusal("bad-request", { code: "no-such-anchor-test", id }, { field });
    const name = nameOfTest(test);
    const exposure = anchorExposureOfTest(test, store.lamps.find(test.request.lampId)?.kind);
    if (typeof exposure === "string") unfit.push({ name, reason: exposure });
    else
      candidates.push({
        id,
        kind: "test",
        name,
        exposure,
        materials: [test.request.supportId, test.request.coatingId, test.request.filmId ?? null],
      });
  };
  if (request.anchorTestId !== undefined) add(request.anchorTestId, "anchorTestId");
  for (const id of new Set(request.anchorTestIds)) if (id !== request.anchorTestId) add(id, "anchorTestIds");
  for (const id of new Set(request.anchorIds)) {
    const kept = store.sunAnchors.find(id);
    if (kept === undefined) throw refusal("bad-request", { code: "no-such-anchor", id }, { field: "anchorIds" });
    candidates.push({
      id,
      kind: "kept",
      name: kept.name,
      exposure: anchorExposureOfKept(kept),
      materials: [kept.supportId ?? null, kept.coatingId ?? null, kept.filmId ?? null],
    });
  }
  return { candidates, unfit };
}

/** Whether two anchors name different supports, coatings or films. */
function haveDifferentMaterials(candidates: readonly Candidate[]): boolean {
  return [0, 1, 2].some(
    (which) => new Set(candidates.map(({ materials }) => materials[which]).filter((id) => id !== null)).size > 1,
  );
}

/** What a test is called when it has no name of its own. */
export function nameOfTest(
  test: Pick<SavedTest, "createdAt"> & { readonly request: Pick<SavedTest["request"], "name" | "sun" | "madeAt"> },
): string {
  return test.request.name === ""
    ? `Test of ${(test.request.sun?.startedAt ?? test.request.madeAt ?? test.createdAt).slice(0, 10)}`
    : test.request.name;
}
