// The studio's model as fitted to what is saved now; kept until something is written.
import type { Channel } from "#shared/schema/curve.ts";
import { studioObservations, type DrawnObservations } from "#shared/lookup/studio-observations.ts";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import { isSameEvent } from "#shared/studio-model/same-observation.ts";
import { fitStudio, type StudioFit } from "#shared/studio-model/studio-fit.ts";
import { manyTests } from "#shared/studio-model/worlds.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { Tools } from "./tools.ts";
import { weighedRecords, type WeighedRecords } from "./weighed-records.ts";

export interface FittedStudio {
  /** Tests of the channel, newest first, also those that do not count. */
  readonly tests: readonly TimedTest[];
  readonly fit: StudioFit;
}

/** With fewer tests and prints the fit is quicker than handing it to another thread. */
const fewObservations = 12;
/** So often is fitted anew while others go on writing; then what was fitted last is answered from. */
const mostAttempts = 3;

interface Gathered {
  readonly records: WeighedRecords;
  /** Observations that say the same as in the fit before are the same objects. */
  readonly drawn: DrawnObservations;
}

interface Kept extends FittedStudio, Gathered {
  /** Number of the newest change in the store for which it is answered from. */
  readonly revision: number;
}

const kept = new WeakMap<StoreReader, Map<Channel, Kept>>();
const underWay = new WeakMap<StoreReader, Map<Channel, Promise<void>>>();

/** Everything of one channel, fitted; the same fit as before while nothing that counts has changed. */
export function studioModel(store: StoreReader, channel: Channel): FittedStudio {
  const before = keptOf(store).get(channel);
  if (before?.revision === store.news.newest) return before;
  const gathered = gather(store, channel, before);
  const same = unchanged(store, channel, gathered);
  if (same !== undefined) return same;
  const { drawn, records } = gathered;
  const fit = fitStudio(drawn.observations, records.events, { before: beginFor(gathered, before) });
  return keep(store, channel, gathered, fit);
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
  const { observations } = gathered.drawn;
  const { events } = gathered.records;
  const isQuick = observations.length < fewObservations;
  const fit = isQuick ? fitStudio(observations, events) : await thread.fit({ channel, observations, events });
  keep(store, channel, gathered, fit);
}

/**
 * Many tests tell where the worlds lie, so that the last fit's are near; with few the answer must not hang on what
 * was before.
 */
function beginFor({ drawn: { observations } }: Gathered, before: Kept | undefined): StudioFit | null {
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
  const { revision, tests } = gathered.records;
  const fresh = { ...gathered, revision, tests, fit };
  keptOf(store).set(channel, fresh);
  return fresh;
}

/** The fit that there is, where nothing was written that counts. */
function unchanged(store: StoreReader, channel: Channel, gathered: Gathered): Kept | undefined {
  const before = keptOf(store).get(channel);
  const { observations } = gathered.drawn;
  const { events } = gathered.records;
  const isSame =
    before !== undefined &&
    observations.length === before.drawn.observations.length &&
    observations.every((each, i) => each === before.drawn.observations[i]) &&
    events.length === before.records.events.length &&
    events.every((each, i) => isSameEvent(each, before.records.events[i]!));
  return isSame ? keep(store, channel, gathered, before.fit) : undefined;
}

function gather(store: StoreReader, channel: Channel, before: Kept | undefined): Gathered {
  const records = weighedRecords(store, channel, before?.records);
  const { tests, leftOut } = records;
  const counted = leftOut.size === 0 ? tests : tests.filter(({ id }) => !leftOut.has(id));
  return { records, drawn: studioObservations({ ...records, tests: counted }, before?.drawn ?? null) };
}

/** Scatter of prints that the studio's tests of a channel show, with what is usual [log10]. */
export function printSpreadOf(store: StoreReader, channel: Channel): number {
  const { fit } = studioModel(store, channel);
  const parts = fit.accounts.flatMap(({ solutions }) => solutions);
  const total = parts.reduce((sum, { weight }) => sum + weight, 0);
  return parts.reduce((sum, { solution, weight }) => sum + weight * solution.spreads.print, 0) / total;
}
