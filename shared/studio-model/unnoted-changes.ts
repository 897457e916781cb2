// How often something changes that nobody notes: in the record of the tests, and since the last of them.
import type { ChangeEvent, ChangeScope, Circumstances, Observation } from "./observation.ts";

/** A change that nobody noted reaches so far [standard deviation, log10]: half a stop. common practice, no source */
export const unnotedSpread = 0.15;

/** Scopes that change at some instant; a batch is odd or not from its first test. */
type ChangingScope = Exclude<ChangeScope, "batch" | "studio">;
const scopes: readonly ChangingScope[] = ["lamp", "support", "coating"];

/**
 * Changes for each test of a thing: the rate itself is not known, and follows a gamma distribution that stands for so
 * many changes in so many tests. common practice, no source
 */
export const changeRates = {
  lamp: { changes: 1, tests: 16 },
  support: { changes: 0.12, tests: 16 },
  coating: { changes: 0.35, tests: 16 },
} as const satisfies Record<ChangingScope, { changes: number; tests: number }>;
/** Chance that a batch is odd. common practice, no source */
export const oddBatchChance = 0.05;

/**
 * Odds beforehand of a change at one gap between a thing's tests, beside none at any of its gaps.
 * @param gaps of its record, each alike
 */
export function changeOdds(scope: ChangingScope | "batch", gaps: number): number {
  return scope === "batch" ? oddBatchChance : changeRates[scope].changes / (changeRates[scope].tests + gaps);
}

/** The record of one lamp, support or coating. */
interface TestRecord {
  readonly tests: number;
  /** Of its newest test [ms], and how many tests of other things came after it. */
  readonly newestAtMs: number;
  readonly othersSince: number;
}

export interface TestRecords {
  readonly all: number;
  /** By `scope id`. */
  readonly of: ReadonlyMap<string, TestRecord>;
}

/** When each lamp, support and coating was last tested. */
export function testRecords(observations: readonly Observation[]): TestRecords {
  const newestFirst = observations.filter(({ seen }) => seen.kind === "measured").sort((a, b) => b.atMs - a.atMs);
  const of = new Map<string, TestRecord>();
  for (const scope of scopes) {
    const byId = new Map<string, { tests: number; readonly newestAtMs: number; readonly othersSince: number }>();
    newestFirst.forEach((test, othersSince) => {
      const id = partId(scope, test);
      const known = byId.get(id);
      if (known === undefined) byId.set(id, { tests: 1, newestAtMs: test.atMs, othersSince });
      else known.tests++;
    });
    for (const [id, record] of byId) of.set(`${scope} ${id}`, record);
  }
  return { all: newestFirst.length, of };
}

/**
 * Chance of each part that it changed since it was last tested. Time is told by the studio's other tests: a lamp that
 * makes every third test and was passed over in the last nine has missed three.
 * @param changes that are held to have happened; a thing that changed once is more likely to have changed again
 * @returns parts with a chance above 0, up to 1; none that was tested last, or never
 * Source: HoetingEtAl1999 (the rate is averaged out).
 */
export function chancesOfChangeSince(
  { all, of: records }: TestRecords,
  of: Circumstances,
  changes: readonly ChangeEvent[],
): { readonly scope: ChangeScope; readonly id: string; readonly chance: number }[] {
  return scopes.flatMap((scope) => {
    const id = partId(scope, of);
    const record = records.get(`${scope} ${id}`);
    if (record === undefined || record.othersSince === 0 || of.atMs <= record.newestAtMs) return [];
    const missed = (record.othersSince * record.tests) / all;
    const seen = changeRates[scope].tests + record.tests - 1;
    const happened = changes.filter((change) => change.scope === scope && change.scopeId === id).length;
    return [{ scope, id, chance: 1 - (seen / (seen + missed)) ** (changeRates[scope].changes + happened) }];
  });
}

/** Chance that any of the parts changed since it was last tested, 0-1; as `chancesOfChangeSince`. */
export function chanceOfChangeSince(records: TestRecords, of: Circumstances, changes: readonly ChangeEvent[]): number {
  return 1 - chancesOfChangeSince(records, of, changes).reduce((none, { chance }) => none * (1 - chance), 1);
}

/** The part of something seen that a scope is about; batches are of a coating. */
export function partId(scope: ChangeScope, { lampId, supportId, coatingId }: Circumstances): string {
  if (scope === "lamp") return lampId;
  return scope === "support" ? supportId : coatingId;
}
