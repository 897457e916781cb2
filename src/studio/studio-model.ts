// The studio's model as fitted to what is saved now; kept until something is written.
import type { Channel } from "#shared/schema/curve.ts";
import { studioObservations } from "#shared/lookup/studio-observations.ts";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import type { StudioChange } from "#shared/schema/changes.ts";
import { isSameEvent, isSameObservation } from "#shared/studio-model/same-observation.ts";
import type { ChangeEvent, Observation } from "#shared/studio-model/observation.ts";
import { fitStudio, type StudioFit } from "#shared/studio-model/studio-fit.ts";
import { manyTests } from "#shared/studio-model/worlds.ts";
import { maxTimedTests } from "#src/store/records/tests.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { Tools } from "./tools.ts";

export interface FittedStudio {
  /** Tests of the channel, newest first, also those that do not count. */
  readonly tests: readonly TimedTest[];
  readonly fit: StudioFit;
}

/** Judged prints that are weighed, newest first. */
const mostPrints = 500;
/** With fewer tests and prints the fit is quicker than handing it to another thread. */
const fewObservations = 12;
/** So often is fitted anew while others go on writing; then what was fitted last is answered from. */
const mostAttempts = 3;

interface Kept extends FittedStudio {
  /** Number of the newest change in the store when it was gathered. */
  readonly revision: number;
  /** What was noted, without what the fit found. */
  readonly events: readonly ChangeEvent[];
}

interface Gathered {
  readonly revision: number;
  readonly tests: readonly TimedTest[];
  /** Those of the fit before stand here as the same objects. */
  readonly observations: readonly Observation[];
  readonly events: readonly ChangeEvent[];
}

const kept = new WeakMap<StoreReader, Map<Channel, Kept>>();
const underWay = new WeakMap<StoreReader, Map<Channel, Promise<void>>>();

/** Everything of one channel, fitted; the same fit as before while nothing that counts has changed. */
export function studioModel(store: StoreReader, channel: Channel): FittedStudio {
  const before = keptOf(store).get(channel);
  if (before?.revision === store.news.newest) return before;
  const gathered = gather(store, channel, before);
  return (
    unchanged(store, channel, gathered) ??
    keep(
      store,
      channel,
      gathered,
      fitStudio(gathered.observations, gathered.events, { before: beginFor(gathered, before) }),
    )
  );
}

/**
 * Fits what was written since in the thread that is there for it, so that `studioModel` then answers at once.
 * Without a thread, and with few tests, `studioModel` does it itself.
 */
export async function studioModelReady(tools: Pick<Tools, "store" | "modelThread">): Promise<void> {
  if (tools.modelThread === undefined) return;
  for (const channel of ["red", "visual"] as const) {
    for (let attempt = 1; attempt <= mostAttempts && !isCurrent(tools.store, channel); attempt++) {
      const running = underWay.get(tools.store) ?? new Map<Channel, Promise<void>>();
      underWay.set(tools.store, running);
      const work =
        running.get(channel) ?? refit(tools.store, channel, tools.modelThread).finally(() => running.delete(channel));
      running.set(channel, work);
      await work;
      const last = keptOf(tools.store).get(channel);
      if (attempt === mostAttempts && last !== undefined)
        keptOf(tools.store).set(channel, { ...last, revision: tools.store.news.newest });
    }
  }
}

/** Kinds of record whose changes may move a time. */
const weightyKinds = new Set(["lamps", "films", "tests", "prints", "studio-changes", "everything"]);
/** Changes that come together are fitted together. */
const restMs = 30;

/**
 * Begins a fit as soon as something was written that may count, and one at once, so that questions rarely wait for it.
 * @param report is told of a fit that failed; the next question then fits anew
 */
export function keepModelReady(
  tools: Required<Pick<Tools, "store" | "modelThread">>,
  report: (error: unknown) => void,
): void {
  let timer: NodeJS.Timeout | null = null;
  const begin = (): void => {
    timer = null;
    studioModelReady(tools).catch(report);
  };
  tools.store.news.listen({
    hear({ kind }) {
      if (weightyKinds.has(kind)) timer ??= setTimeout(begin, restMs).unref();
    },
    end() {
      if (timer !== null) clearTimeout(timer);
    },
  });
  begin();
}

async function refit(store: StoreReader, channel: Channel, thread: NonNullable<Tools["modelThread"]>): Promise<void> {
  const gathered = gather(store, channel, keptOf(store).get(channel));
  if (unchanged(store, channel, gathered) !== undefined) return;
  const { observations, events } = gathered;
  const isQuick = observations.length < fewObservations;
  const fit = isQuick ? fitStudio(observations, events) : await thread.fit({ channel, observations, events });
  keep(store, channel, gathered, fit);
}

/**
 * Many tests tell where the worlds lie, so that the last fit's are near; with few the answer must not hang on what
 * was before.
 */
function beginFor({ observations }: Gathered, before: Kept | undefined): StudioFit | null {
  return observations.length > manyTests ? (before?.fit ?? null) : null;
}

function isCurrent(store: StoreReader, channel: Channel): boolean {
  return keptOf(store).get(channel)?.revision === store.news.newest;
}

function keptOf(store: StoreReader): Map<Channel, Kept> {
  const known = kept.get(store) ?? new Map<Channel, Kept>();
  kept.set(store, known);
  return known;
}

function keep(store: StoreReader, channel: Channel, gathered: Gathered, fit: StudioFit): Kept {
  const { revision, events, tests } = gathered;
  const fresh = { revision, events, tests, fit };
  keptOf(store).set(channel, fresh);
  return fresh;
}

/** The fit that there is, where nothing was written that counts. */
function unchanged(store: StoreReader, channel: Channel, gathered: Gathered): Kept | undefined {
  const before = keptOf(store).get(channel);
  const { observations, events } = gathered;
  const isSame =
    before !== undefined &&
    observations.length === before.fit.observations.length &&
    observations.every((each, i) => each === before.fit.observations[i]) &&
    events.length === before.events.length &&
    events.every((each, i) => isSameEvent(each, before.events[i]!));
  return isSame ? keep(store, channel, gathered, before.fit) : undefined;
}

function gather(store: StoreReader, channel: Channel, before: Kept | undefined): Gathered {
  const revision = store.news.newest;
  const leftOut = store.changes.leftOut();
  const tests = timedTests(store, channel, before);
  const told = studioObservations({
    tests: tests.filter(({ id }) => !leftOut.has(id)),
    prints: judgedPrints(store),
    lamps: store.lamps.list({ archived: true }),
    films: store.films.list({ archived: true }),
  });
  const known = new Map(before?.fit.observations.map((each) => [each.id, each]));
  const observations = told.map((each) => {
    const same = known.get(each.id);
    return same !== undefined && isSameObservation(same, each) ? same : each;
  });
  return { revision, tests, observations, events: store.changes.list().map(eventFrom) };
}

/** With more tests written since than this, all are read anew. */
const fewWritten = 50;

/** Tests of a channel, newest first: of those read before, only what was written since is read again. */
function timedTests(store: StoreReader, channel: Channel, before: Kept | undefined): readonly TimedTest[] {
  const news = before === undefined ? undefined : store.news.since(before.revision);
  const written = new Set(news?.flatMap(({ kind, id }) => (kind === "tests" && id !== null ? [id] : [])));
  const isUnknown = news?.some(({ kind, id }) => kind === "everything" || (kind === "tests" && id === null)) ?? true;
  const wasCut = before?.tests.length === maxTimedTests && news?.some(({ what }) => what === "removed");
  if (before === undefined || isUnknown || wasCut || written.size > fewWritten) return store.tests.listTimed(channel);
  if (written.size === 0) return before.tests;
  const fresh = [...written].flatMap((id) => store.tests.findTimed(channel, id) ?? []);
  const atMs = new Map([...before.tests, ...fresh].map((test) => [test, Date.parse(test.madeAt)]));
  return [...before.tests.filter(({ id }) => !written.has(id)), ...fresh]
    .sort((a, b) => atMs.get(b)! - atMs.get(a)! || (a.id < b.id ? 1 : -1))
    .slice(0, maxTimedTests);
}

/** Scatter of prints that the studio's tests of a channel show, with what is usual [log10]. */
export function printSpreadOf(store: StoreReader, channel: Channel): number {
  const { fit } = studioModel(store, channel);
  const parts = fit.accounts.flatMap(({ solutions }) => solutions);
  const total = parts.reduce((sum, { weight }) => sum + weight, 0);
  return parts.reduce((sum, { solution, weight }) => sum + weight * solution.spreads.print, 0) / total;
}

/** How far such a change usually reaches [log10, standard deviation]. common practice, no source */
const reachOf = { tubes: 0.12, glass: 0.05, lot: 0.06, other: 0.12 } as const;

/** A noted change as the model takes it. */
function eventFrom({ id, kind, scope, scopeId, at }: StudioChange): ChangeEvent {
  return { id, scope, scopeId, atMs: Date.parse(at), spread: reachOf[kind], isNewLight: kind === "tubes" };
}

function judgedPrints(store: StoreReader): Parameters<typeof studioObservations>[0]["prints"] {
  return store.prints.list({ judged: true, limit: mostPrints }).prints.flatMap((print) => {
    const { outcome } = print;
    return outcome === undefined || outcome === null
      ? []
      : [{ ...print, batchId: print.batchId ?? null, filmId: print.filmId ?? null, outcome }];
  });
}
