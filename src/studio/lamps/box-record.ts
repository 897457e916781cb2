// One lamp and everything that was found out about it: times by paper, cloth and coating, drift, and how far its
// commissioning is.
import { driftOf, retestDue, type Drift, type DriftTest, type RetestDue } from "#shared/lookup/drift.ts";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import { exposureQuerySchema, type ExposureSource } from "#shared/schema/exposures.ts";
import type { StudioChange } from "#shared/schema/changes.ts";
import type { TestSummary } from "#shared/schema/test.ts";
import { lookUpExposure } from "#src/studio/look-up-exposure.ts";
import type { Tools } from "#src/studio/tools.ts";

/** Tests of one lamp that are looked at; more than any box sees between two lamps. */
const mostTests = 1000;

export interface BoxCombination {
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId: string | null;
  /** The newest test that gave a time; the time to print by is `baseTimeOf`. */
  readonly newest: TestSummary & { readonly exposure: { readonly seconds: number } };
  readonly retest: RetestDue;
  /** Null with fewer than two tests. */
  readonly drift: Drift | null;
}

/** The tests contradict each other: there is no time, and nobody should print by their mean. */
export interface NoBaseTime {
  readonly source: "contradictory";
  readonly tests: number;
}

/** The time of a combination as the lookup answers it: one answer wherever it stands. */
export interface BaseTime {
  readonly seconds: number;
  /** 95 % range of the next print; null when it was never told. */
  readonly lowerSeconds: number | null;
  readonly upperSeconds: number | null;
  /** "newest": the lookup has no time to give, so the newest test's own stands alone. */
  readonly source: Exclude<ExposureSource, "unknown"> | "newest";
  /** Tests that it rests on. */
  readonly tests: number;
}

/** Steps of commissioning in their order. */
type CommissioningStep = "described" | "evenness" | "first-test" | "distance";

export interface BoxRecord {
  readonly lamp: Lamp;
  readonly combinations: readonly BoxCombination[];
  /** The newest test of all, whether it gave a time or not; null when there is none. */
  readonly newestTest: TestSummary | null;
  /** What is done; found from the records themselves, so that the path can be left and taken up anywhere. */
  readonly done: Readonly<Record<CommissioningStep, boolean>>;
}

/** @throws InputError "not-found" */
export function boxRecord({ store }: Pick<Tools, "store">, lampId: string): BoxRecord {
  const lamp = store.lamps.get(lampId);
  const { tests } = store.tests.list({ lampId, limit: mostTests });
  const combinations = combinationsOf({ store }, tests, lamp.distanceMm ?? undefined);
  // Absent until the description was kept once: an unticked box that nobody saw is no answer.
  const isDistanceKept = lamp.distanceVaries === false;
  return {
    lamp,
    combinations,
    newestTest: tests[0] ?? null,
    done: {
      described: lamp.kind !== "other" && (lamp.kind === "sun" || lamp.kind === "shade" || (lamp.distanceMm ?? 0) > 0),
      evenness: (lamp.evenness ?? null) !== null,
      "first-test": combinations.length > 0,
      distance:
        isDistanceKept ||
        new Set(
          tests.slice(0, 60).map((test) => store.tests.get(test.id).request.lampDistanceMm ?? lamp.distanceMm ?? 0),
        ).size > 1,
    },
  };
}

/** What the lookup answers for a combination of a box. */
export function baseTimeOf(
  { store }: Pick<Tools, "store">,
  { newest, supportId, coatingId, filmId }: BoxCombination,
): BaseTime | NoBaseTime {
  const { seconds, nextPrint, source, testIds, warnings } = lookUpExposure(
    { store },
    exposureQuerySchema.parse({ lampId: newest.lampId, supportId, coatingId, filmId: filmId ?? undefined }),
  );
  if (warnings.some(({ code }) => code === "tests-disagree")) return { source: "contradictory", tests: testIds.length };
  if (seconds !== null && source !== "unknown")
    return {
      seconds,
      lowerSeconds: nextPrint?.lowerSeconds ?? null,
      upperSeconds: nextPrint?.upperSeconds ?? null,
      source,
      tests: testIds.length,
    };
  const { exposure } = newest;
  return {
    seconds: exposure.seconds,
    lowerSeconds: exposure.lowerSeconds,
    upperSeconds: exposure.upperSeconds,
    source: "newest",
    tests: 1,
  };
}

function combinationsOf(
  { store }: Pick<Tools, "store">,
  tests: readonly TestSummary[],
  usualMm: number | undefined,
): BoxCombination[] {
  const timed = new Map(store.tests.listTimed("red").map((test) => [test.id, test]));
  const today = new Date().toISOString();
  const leftOut = store.changes.leftOut();
  const changes = store.changes.list();
  const groups = new Map<string, TestSummary[]>();
  for (const test of tests) {
    if (test.exposure.seconds === null || test.exposure.verdict !== "ok") continue;
    const key = JSON.stringify([test.supportId, test.coatingId, test.filmId]);
    groups.set(key, [...(groups.get(key) ?? []), test]);
  }
  return [...groups.values()].flatMap((group) => {
    const newest = group[0];
    if (newest === undefined) return [];
    const { lampHours, lampDistanceMm } = store.tests.get(newest.id).request;
    // At another distance the time is another one, and says nothing about drift.
    const isComparable = (test: TestSummary): boolean =>
      test.exposure.targetShare === newest.exposure.targetShare &&
      (store.tests.get(test.id).request.lampDistanceMm ?? usualMm) === (lampDistanceMm ?? usualMm);
    return [
      {
        supportId: newest.supportId,
        coatingId: newest.coatingId,
        filmId: newest.filmId,
        newest: newest as BoxCombination["newest"],
        retest: retestDue(newest.madeAt, lampHours ?? null, today),
        drift: driftOf(
          oncePerPicture(
            group.filter((test) => isComparable(test) && !leftOut.has(test.id) && isSinceChanges(test, changes)),
          ).flatMap(({ id }) => driftTest(timed.get(id))),
        ),
      },
    ];
  });
}

/**
 * Speed of the coating under its film, not the advised seconds: those hold the film's density as it was known that day.
 */
function driftTest(test: TimedTest | undefined): DriftTest[] {
  if (test === undefined || test.shoulderLogH === null || test.sigmaLogH === null) return [];
  const { id, madeAt, shoulderLogH, sigmaLogH } = test;
  return [{ id, madeAt, logSeconds: shoulderLogH, sigmaLogSeconds: sigmaLogH }];
}

/** Whether a test was made after every change that was noted for its light, paper or coating. */
function isSinceChanges(test: TestSummary, changes: readonly StudioChange[]): boolean {
  const ids = { lamp: test.lampId, support: test.supportId, coating: test.coatingId };
  return changes.every(({ scope, scopeId, at }) => ids[scope] !== scopeId || Date.parse(test.madeAt) >= Date.parse(at));
}

/** One picture is one print, however often it was sent. */
function oncePerPicture(tests: readonly TestSummary[]): TestSummary[] {
  return [...new Map([...tests].reverse().map((test) => [test.pictureId, test])).values()];
}
