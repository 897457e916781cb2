// What the store holds that the studio's model weighs, read anew only where something was written since.
import type { JudgedPrint, StudioRecords } from "#shared/lookup/studio-observations.ts";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import type { Channel } from "#shared/schema/curve.ts";
import type { StudioChange } from "#shared/schema/changes.ts";
import type { ChangeEvent } from "#shared/studio-model/observation.ts";
import type { News, NewsKind } from "#src/store/news.ts";
import { maxTimedTests } from "#src/store/records/tests.ts";
import type { StoreReader } from "#src/store/store.ts";

export interface WeighedRecords extends StudioRecords {
  /** Number of the newest change in the store when they were read. */
  readonly revision: number;
  /** What was noted, as the model takes it. */
  readonly events: readonly ChangeEvent[];
  /** Reason by test, of those that do not count. */
  readonly leftOut: ReadonlyMap<string, string>;
}

/** Judged prints that are weighed, newest first. */
const mostPrints = 500;

/** Records of a channel; of `before`, what was not written to since stands as the same objects. */
export function weighedRecords(
  store: StoreReader,
  channel: Channel,
  before: WeighedRecords | undefined,
): WeighedRecords {
  const revision = store.news.newest;
  const news = before === undefined ? undefined : store.news.since(before.revision);
  if (before === undefined || news === undefined || news.some(({ kind }) => kind === "everything")) {
    const tests = store.tests.listTimed(channel);
    return { revision, tests, ...readPrints(store), ...readLamps(store), ...readFilms(store), ...readChanges(store) };
  }
  const isWritten = (wanted: NewsKind): boolean => news.some(({ kind }) => kind === wanted);
  return {
    ...before,
    revision,
    tests: testsSince(store, channel, before.tests, news),
    ...(isWritten("prints") ? readPrints(store) : {}),
    ...(isWritten("lamps") ? readLamps(store) : {}),
    ...(isWritten("films") ? readFilms(store) : {}),
    ...(isWritten("studio-changes") ? readChanges(store) : {}),
  };
}

/** With more tests written since than this, all are read anew. */
const fewWritten = 50;

/** Tests of a channel, newest first: of those read before, only what was written since is read again. */
function testsSince(
  store: StoreReader,
  channel: Channel,
  before: readonly TimedTest[],
  news: readonly News[],
): readonly TimedTest[] {
  const ofTests = news.filter(({ kind }) => kind === "tests");
  const written = new Set(ofTests.flatMap(({ id }) => id ?? []));
  const wasCut = before.length === maxTimedTests && ofTests.some(({ what }) => what === "removed");
  if (wasCut || ofTests.some(({ id }) => id === null) || written.size > fewWritten)
    return store.tests.listTimed(channel);
  if (written.size === 0) return before;
  const tests = before.filter(({ id }) => !written.has(id));
  for (const id of written) {
    const test = store.tests.findTimed(channel, id);
    if (test !== undefined) tests.splice(placeOf(test, tests), 0, test);
  }
  return tests.slice(0, maxTimedTests);
}

/** Where a test stands among others, newest first, of one instant the greater id first; most stand near the front. */
function placeOf(test: TimedTest, others: readonly TimedTest[]): number {
  const atMs = Date.parse(test.madeAt);
  const place = others.findIndex((other) => {
    const ahead = Date.parse(other.madeAt) - atMs;
    return ahead === 0 ? other.id < test.id : ahead < 0;
  });
  return place === -1 ? others.length : place;
}

function readPrints(store: StoreReader): Pick<WeighedRecords, "prints"> {
  const prints = store.prints.list({ judged: true, limit: mostPrints }).prints.flatMap((print): JudgedPrint[] => {
    const { outcome } = print;
    return outcome === undefined || outcome === null
      ? []
      : [{ ...print, batchId: print.batchId ?? null, filmId: print.filmId ?? null, outcome }];
  });
  return { prints };
}

function readLamps(store: StoreReader): Pick<WeighedRecords, "lamps"> {
  return { lamps: store.lamps.list({ archived: true }) };
}

function readFilms(store: StoreReader): Pick<WeighedRecords, "films"> {
  return { films: store.films.list({ archived: true }) };
}

function readChanges(store: StoreReader): Pick<WeighedRecords, "events" | "leftOut"> {
  return { events: store.changes.list().map(eventFrom), leftOut: store.changes.leftOut() };
}

/** How far such a change usually reaches [log10, standard deviation]. common practice, no source */
const reachOf = { tubes: 0.12, glass: 0.05, lot: 0.06, other: 0.12 } as const;

/** A noted change as the model takes it. */
function eventFrom({ id, kind, scope, scopeId, at }: StudioChange): ChangeEvent {
  return { id, scope, scopeId, atMs: Date.parse(at), spread: reachOf[kind], isNewLight: kind === "tubes" };
}
