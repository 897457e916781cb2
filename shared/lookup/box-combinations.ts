// What was tested in one box: by paper, coating and film, with when to test again and whether the speed drifts.
import type { StudioChange } from "#shared/schema/changes.ts";
import type { TestSummary } from "#shared/schema/test.ts";
import type { Scatter } from "#shared/studio-model/one-combination.ts";
import { driftOf, retestDue, type Drift, type DriftTest, type RetestDue } from "./drift.ts";
import type { TimedTest } from "./lookup-input.ts";
import { sigmaBesideTablet } from "./studio-observations.ts";

/** A test that gave a time. */
type TimeGivingTest = TestSummary & { readonly exposure: { readonly seconds: number } };

export interface BoxCombination {
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId: string | null;
  /** The newest test that gave a time; the time to print by is the lookup's. */
  readonly newest: TimeGivingTest;
  readonly retest: RetestDue;
  /** Null with fewer than two tests that can be held against each other. */
  readonly drift: Drift | null;
  /** Its other tests that measured a time, newest first. */
  readonly apart: readonly ApartTest[];
}

/** Why a test is not held against the others. */
export type ApartReason = "left-out" | "before-change" | "other-distance" | "other-share" | "same-picture";

export interface ApartTest extends DriftTest {
  readonly reason: ApartReason;
}

/** How a test stood under its lamp; null where that was not said. */
interface Standing {
  readonly lampDistanceMm: number | null;
  readonly lampHours: number | null;
}

export interface BoxTests {
  /** Of one lamp, newest first. */
  readonly tests: readonly TestSummary[];
  /** By the id of the test. */
  readonly standings: ReadonlyMap<string, Standing>;
  /** What the tests tell of time, by their ids. */
  readonly timed: ReadonlyMap<string, TimedTest>;
  /** Ids of the tests that do not count. */
  readonly leftOut: { readonly has: (testId: string) => boolean };
  readonly changes: readonly StudioChange[];
  /** Distance of the box where a test does not say its own [mm]; null when not known. */
  readonly usualDistanceMm: number | null;
  /** Scatter of prints in the studio beside so many tests of one combination; null where it is not known. */
  readonly scatterBeside: (ownTests: number) => Scatter | null;
  /** Instant at which this is asked, ISO 8601. */
  readonly at: string;
}

/**
 * The combinations that gave a time, the one tested last first. Tests speak of drift where they were made to the same
 * share, at the same distance, after every change that was noted and has come about, and count; one picture is one
 * print.
 */
export function boxCombinations({
  tests,
  standings,
  timed,
  leftOut,
  changes,
  usualDistanceMm,
  scatterBeside,
  at,
}: BoxTests): BoxCombination[] {
  const changed = changes.filter((change) => Date.parse(change.at) <= Date.parse(at));
  const distanceOf = (test: TestSummary): number | null => standings.get(test.id)?.lampDistanceMm ?? usualDistanceMm;
  return groupedByCombination(tests).map(([newest, ...older]) => {
    const pictures = new Set<string>();
    const apartReason = (test: TestSummary): ApartReason | null => {
      if (leftOut.has(test.id)) return "left-out";
      if (!isSinceChanges(test, changed)) return "before-change";
      if (distanceOf(test) !== distanceOf(newest)) return "other-distance";
      if (test.exposure.targetShare !== newest.exposure.targetShare) return "other-share";
      // One picture is one print, however often it was sent; the newest of them stands for it.
      if (pictures.has(test.pictureId)) return "same-picture";
      pictures.add(test.pictureId);
      return null;
    };
    const sorted = [newest, ...older].flatMap((test) =>
      driftTest(timed.get(test.id)).map((measured) => ({ ...measured, reason: apartReason(test) })),
    );
    const counting = sorted.flatMap(({ reason, ...test }) => (reason === null ? [test] : []));
    return {
      supportId: newest.supportId,
      coatingId: newest.coatingId,
      filmId: newest.filmId,
      newest,
      retest: retestDue(newest.madeAt, standings.get(newest.id)?.lampHours ?? null, at),
      drift: driftOf(counting, scatterBeside(counting.length)),
      apart: sorted.flatMap(({ reason, ...test }) => (reason === null ? [] : [{ ...test, reason }])),
    };
  });
}

/** Tests that gave a time, by what they were made of; each group newest first. */
function groupedByCombination(
  tests: readonly TestSummary[],
): (readonly [TimeGivingTest, ...(readonly TimeGivingTest[])])[] {
  const groups = new Map<string, [TimeGivingTest, ...TimeGivingTest[]]>();
  for (const test of tests) {
    if (!givesTime(test)) continue;
    const key = JSON.stringify([test.supportId, test.coatingId, test.filmId]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [test]);
    else group.push(test);
  }
  return [...groups.values()];
}

function givesTime(test: TestSummary): test is TimeGivingTest {
  return test.exposure.seconds !== null && test.exposure.verdict === "ok";
}

/**
 * Speed of the coating under its film, not the advised seconds: those hold the film's density as it was known that day.
 * Its doubt is the lookup's: without what all tests of the tablet share.
 */
function driftTest(test: TimedTest | undefined): DriftTest[] {
  const sigmaLogSeconds = test === undefined ? null : sigmaBesideTablet(test);
  if (test === undefined || test.shoulderLogH === null || sigmaLogSeconds === null) return [];
  const { id, madeAt, shoulderLogH, batchId } = test;
  return [{ id, madeAt, logSeconds: shoulderLogH, sigmaLogSeconds, batchId }];
}

/** Whether a test was made after every change that was noted for its light, paper or coating. */
function isSinceChanges(test: TestSummary, changes: readonly StudioChange[]): boolean {
  const ids = { lamp: test.lampId, support: test.supportId, coating: test.coatingId };
  return changes.every(({ scope, scopeId, at }) => ids[scope] !== scopeId || Date.parse(test.madeAt) >= Date.parse(at));
}
