// The studio's model as fitted to what is saved now; kept until something is written.
import type { Channel } from "#shared/schema/curve.ts";
import { studioObservations } from "#shared/lookup/studio-observations.ts";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import type { StudioChange } from "#shared/schema/changes.ts";
import type { ChangeEvent } from "#shared/studio-model/observation.ts";
import { fitStudio, type StudioFit } from "#shared/studio-model/studio-fit.ts";
import type { StoreReader } from "#src/store/store.ts";

export interface FittedStudio {
  /** Tests of the channel, newest first, also those that do not count. */
  readonly tests: readonly TimedTest[];
  readonly fit: StudioFit;
}

/** Judged prints that are weighed, newest first. */
const mostPrints = 500;

interface Kept {
  readonly observed: string;
  readonly fit: StudioFit;
}

const kept = new WeakMap<StoreReader, Map<Channel, Kept>>();

/** Everything of one channel, fitted; the same fit as before while nothing that counts has changed. */
export function studioModel(store: StoreReader, channel: Channel): FittedStudio {
  const leftOut = store.changes.leftOut();
  const tests = store.tests.listTimed(channel);
  const observations = studioObservations({
    tests: tests.filter(({ id }) => !leftOut.has(id)),
    prints: judgedPrints(store),
    lamps: store.lamps.list({ archived: true }),
    films: store.films.list({ archived: true }),
  });
  const events = store.changes.list().map(eventFrom);
  const observed = JSON.stringify([observations, events]);
  const channels = kept.get(store) ?? new Map<Channel, Kept>();
  kept.set(store, channels);
  const before = channels.get(channel);
  if (before?.observed === observed) return { tests, fit: before.fit };
  const fit = fitStudio(observations, events);
  channels.set(channel, { observed, fit });
  return { tests, fit };
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
    return outcome === undefined || outcome === null ? [] : [{ ...print, filmId: print.filmId ?? null, outcome }];
  });
}
