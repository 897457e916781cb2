// One lamp and everything that was found out about it: times by paper, cloth and coating, drift, and how far its
// commissioning is.
import { commissioningDone, type CommissioningStep } from "#shared/lamp/commissioning.ts";
import { boxCombinations, type BoxCombination } from "#shared/lookup/box-combinations.ts";
import { scatterBeside } from "#shared/lookup/scatter-beside.ts";
import type { Lamp } from "#shared/schema/materials.ts";
import { exposureQuerySchema, type ExposureSource } from "#shared/schema/exposures.ts";
import type { TestSummary } from "#shared/schema/test.ts";
import { depthOfCoating, lookUpExposure } from "#src/studio/look-up-exposure.ts";
import { studioModel } from "#src/studio/studio-model.ts";
import type { Tools } from "#src/studio/tools.ts";

/** Tests of one lamp that are looked at; more than any box sees between two lamps. */
const mostTests = 1000;

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
  /** Share of net D-max that it is for. */
  readonly share: number;
}

export interface BoxRecord {
  readonly lamp: Lamp;
  readonly combinations: readonly BoxCombination[];
  /** The newest test of all, whether it gave a time or not; null when there is none. */
  readonly newestTest: TestSummary | null;
  readonly done: Readonly<Record<CommissioningStep, boolean>>;
}

/** @throws InputError "not-found" */
export function boxRecord({ store }: Pick<Tools, "store">, lampId: string): BoxRecord {
  const lamp = store.lamps.get(lampId);
  const { tests } = store.tests.list({ lampId, limit: mostTests });
  const standings = store.tests.listConditions(lampId, mostTests);
  const { tests: timed, fit } = studioModel(store, "red");
  const combinations = boxCombinations({
    tests,
    standings: new Map(standings.map((each) => [each.id, each])),
    timed: new Map(timed.map((test) => [test.id, test])),
    leftOut: store.changes.leftOut(),
    changes: store.changes.list(),
    usualDistanceMm: lamp.distanceMm ?? null,
    scatterBeside: (own) => scatterBeside(fit, own),
    at: new Date().toISOString(),
  });
  return {
    lamp,
    combinations,
    newestTest: tests[0] ?? null,
    done: commissioningDone(lamp, {
      hasTime: combinations.length > 0,
      testDistancesMm: standings.map(({ lampDistanceMm }) => lampDistanceMm),
    }),
  };
}

/** What the lookup answers for a combination of a box. */
export function baseTimeOf(
  { store }: Pick<Tools, "store">,
  { newest, supportId, coatingId, filmId }: BoxCombination,
): BaseTime | NoBaseTime {
  const share = depthOfCoating(store, coatingId);
  const { seconds, nextPrint, source, testIds, warnings } = lookUpExposure(
    { store },
    exposureQuerySchema.parse({ lampId: newest.lampId, supportId, coatingId, filmId: filmId ?? undefined, share }),
  );
  if (warnings.some(({ code }) => code === "tests-disagree")) return { source: "contradictory", tests: testIds.length };
  if (seconds !== null && source !== "unknown")
    return {
      seconds,
      lowerSeconds: nextPrint?.lowerSeconds ?? null,
      upperSeconds: nextPrint?.upperSeconds ?? null,
      source,
      tests: testIds.length,
      share,
    };
  const { exposure } = newest;
  return {
    seconds: exposure.seconds,
    lowerSeconds: exposure.lowerSeconds,
    upperSeconds: exposure.upperSeconds,
    source: "newest",
    tests: 1,
    share: exposure.targetShare,
  };
}
