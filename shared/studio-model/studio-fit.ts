// The studio's model: all tests and prints at once, over all plausible worlds and what may have changed unnoted.
import { logSum } from "#shared/statistics/log-sum.ts";
import { changeCandidates, type Candidate, type Touched } from "./change-candidates.ts";
import type { ChangeEvent, Observation } from "./observation.ts";
import type { Solution } from "./solve.ts";
import { systemOf, systemWith, type System } from "./system.ts";
import { frameOf } from "./unknowns.ts";
import { partId, testRecords, type TestRecords } from "./unnoted-changes.ts";
import type { Place } from "./spreads.ts";
import { latticeOf, likelyWorlds, manyTests, worldsOf, type Axis, type Lattice, type WeighedWorld } from "./worlds.ts";

/** One account of what happened: the equations with its changes, solved in each world. */
export interface Account {
  readonly system: Pick<System, "frame" | "numberOf">;
  /** The unnoted changes that it supposes, at most two. */
  readonly changes: readonly ChangeEvent[];
  /** Share of belief in it, of all accounts. */
  readonly share: number;
  readonly solutions: readonly { readonly solution: Answering; readonly place: Place; readonly weight: number }[];
}

/** What questions need of a solution: plain numbers, so that a fit can be handed from one thread to another. */
type Answering = Pick<Solution, "spreads" | "values" | "factor">;

export interface StudioFit {
  readonly observations: readonly Observation[];
  /** Noted events, and found changes that are beyond doubt. */
  readonly events: readonly ChangeEvent[];
  /** Found changes among the events. */
  readonly found: readonly ChangeEvent[];
  /** The most likely first; at least the one without a change. */
  readonly accounts: readonly Account[];
  /** When each thing was last tested: it may have changed since. */
  readonly records: TestRecords;
  /** Where the worlds without a change lie: a fit of nearly the same tests begins there. */
  readonly lattice: Lattice;
}

/** A change more likely than this, with so many tests after it, is taken as a fact. */
const beyondDoubt = 0.998;
const fewestAfter = 3;
const mostFound = 6;
/** For accounts of a change, only other spreads with this share of the most likely ones' weight are weighed. */
const plausibleWeight = 0.1;
/** Of these at most so many, and one in a studio of many tests, which tell the spreads. */
const mostPlausible = 2;
/** A second change is looked for beside so many first ones at most, each with so much belief, and so many are tried. */
const mostFirst = 2;
const leastFirstShare = 0.1;
const mostSecond = 2;
/** Natural logarithm of the least weight, beside the most likely one, with which a world counts. */
const leastLogWeight = -6;

export interface FitOptions {
  /** Whether changes that nobody noted are looked for. */
  readonly looksForChanges?: boolean;
  /** A fit of nearly the same tests: worlds and values are looked for where it found them. */
  readonly before?: StudioFit | null;
}

/**
 * Fits the model to everything a studio has seen.
 * @param observations any number, in any order; ids unlike each other
 * @param events that are known
 * Valid: one kind of process, one depth of blue, one channel.
 * Source: Henderson1975; HoetingEtAl1999.
 */
export function fitStudio(
  observations: readonly Observation[],
  events: readonly ChangeEvent[] = [],
  { looksForChanges = true, before = null }: FitOptions = {},
): StudioFit {
  const axes = axesOf(observations);
  let known = [...events];
  let lattice = before?.lattice ?? null;
  const touched = before === null ? null : touchedSince(before, observations);
  const found: ChangeEvent[] = [];
  for (;;) {
    const system = systemOf(observations, frameOf(observations, known));
    const worldAt = worldsOf(system, 0, valuesFrom(before, [], system));
    lattice = latticeOf(worldAt, axes, lattice);
    const plain: Weighed = { system, changes: [], worlds: likelyWorlds(worldAt, axes, lattice), logWeight: 0 };
    const told: Told = { lattice, before, touched };
    const once = looksForChanges ? changedOnce(told, plain) : [];
    const twice = observations.length > manyTests ? [] : changedTwice(told, plain, once);
    const accounts = weighed([plain, ...once, ...twice]);
    const sure = found.length < mostFound ? sureChange(accounts, observations) : null;
    if (sure === null)
      return { observations, events: known, found, accounts, records: testRecords(observations), lattice };
    found.push(sure);
    known = [...known, sure];
  }
}

interface Weighed {
  readonly system: System;
  readonly changes: readonly ChangeEvent[];
  readonly worlds: readonly WeighedWorld[];
  /** Of its changes beforehand, and for the worlds that were not solved again [natural logarithm]. */
  readonly logWeight: number;
}

interface Told {
  readonly lattice: Lattice | null;
  readonly before: StudioFit | null;
  readonly touched: Touched | null;
}

/** What the observations that are new, or not as they were, are about; and the changes weighed before. */
function touchedSince(before: StudioFit, observations: readonly Observation[]): Touched {
  const old = new Set(before.observations);
  const now = new Set(observations);
  return {
    observations: [...observations.filter((each) => !old.has(each)), ...before.observations.filter((o) => !now.has(o))],
    eventIds: new Set(before.accounts.flatMap(({ changes }) => changes.map(({ id }) => id))),
  };
}

/** Values of a fit before, world by world, in the order of another system; those of its nearest account. */
function valuesFrom(
  before: StudioFit | null,
  changes: readonly ChangeEvent[],
  system: System,
): (place: Place) => Float64Array | undefined {
  const wanted = changes.map(({ id }) => id).join();
  const account =
    before?.accounts.find((each) => each.changes.map(({ id }) => id).join() === wanted) ?? before?.accounts[0];
  if (account === undefined) return () => undefined;
  const distance = (a: Place, b: Place): number => Math.hypot(a.print - b.print, a.pair - b.pair, a.reach - b.reach);
  const oldNumbers = system.unknowns.map(({ key }) => account.system.numberOf.get(key));
  return (place) => {
    const [nearest] = [...account.solutions].sort((a, b) => distance(a.place, place) - distance(b.place, place));
    if (nearest === undefined) return undefined;
    return Float64Array.from(oldNumbers, (old) => (old === undefined ? 0 : nearest.solution.values[old]!));
  };
}

function changedOnce(told: Told, plain: Weighed): Weighed[] {
  return changeCandidates(plain.system, plain.worlds, told.touched).map((candidate) =>
    changedAccount(told, plain, candidate),
  );
}

/** A lamp may have changed and a batch be bad at once: each hides the other, so likely changes are tried in pairs. */
function changedTwice(told: Told, plain: Weighed, once: readonly Weighed[]): Weighed[] {
  const total = logSum([plain, ...once].map(logTotal));
  const likely = once
    .filter((each) => logTotal(each) - total > Math.log(leastFirstShare))
    .sort((a, b) => logTotal(b) - logTotal(a))
    .slice(0, mostFirst);
  const seen = new Set<string>();
  return likely.flatMap((first) =>
    changeCandidates(first.system, first.worlds)
      .slice(0, mostSecond)
      .flatMap((candidate) => {
        const pair = [...first.changes, candidate.event].map(({ id }) => id).sort();
        if (seen.has(pair.join())) return [];
        seen.add(pair.join());
        return [changedAccount(told, first, candidate)];
      }),
  );
}

function logTotal({ worlds }: Weighed): number {
  return logSum(worlds.map(({ logWeight }) => logWeight));
}

/**
 * The account of one change: a step in time changes what is thought of the scatter of prints, hardly of the other
 * spreads.
 */
function changedAccount(told: Told, from: Weighed, candidate: Candidate): Weighed {
  const { lattice } = told;
  const changes = [...from.changes, candidate.event];
  const system = systemWith(from.system, candidate.event);
  const { kept, logShare } = plausibleOthers(from.worlds);
  const logWeight = from.logWeight + candidate.logPrior - logShare;
  const worldAt = worldsOf(system, logWeight, valuesFrom(told.before, changes, system));
  const worlds = kept.flatMap((centre) => {
    const along = latticeOf(worldAt, ["print"], lattice === null ? null : { ...lattice, centre });
    return likelyWorlds(worldAt, ["print"], lattice === null ? along : { ...lattice, centre: along.centre });
  });
  return { system, changes, worlds, logWeight };
}

/**
 * Likeliest worlds of each pair of other spreads that is plausible, and the share of belief in all of these [natural
 * logarithm].
 */
function plausibleOthers(worlds: readonly WeighedWorld[]): { kept: Lattice["centre"][]; logShare: number } {
  const groups = new Map<string, WeighedWorld[]>();
  for (const world of worlds) {
    const key = [world.place.pair, world.place.reach].map((z) => Math.round(z * 1000)).join(" ");
    groups.set(key, [...(groups.get(key) ?? []), world]);
  }
  const weightOf = (group: readonly WeighedWorld[]): number => logSum(group.map(({ logWeight }) => logWeight));
  const most = Math.max(...[...groups.values()].map(weightOf));
  const mostKept = (worlds[0]?.solution.weights.length ?? 0) > manyTests ? 1 : mostPlausible;
  const kept = [...groups.values()]
    .filter((group) => weightOf(group) >= most + Math.log(plausibleWeight))
    .sort((a, b) => weightOf(b) - weightOf(a))
    .slice(0, mostKept);
  return {
    kept: kept.map((group) => group.reduce((best, each) => (each.logWeight > best.logWeight ? each : best)).place),
    logShare: logSum(kept.map(weightOf)) - weightOf(worlds),
  };
}

function weighed(accounts: readonly Weighed[]): Account[] {
  const logTotals = accounts.map(logTotal);
  const total = logSum(logTotals);
  return accounts
    .map(({ system, changes, worlds }, a) => {
      const most = Math.max(...worlds.map(({ logWeight }) => logWeight));
      return {
        system: { frame: system.frame, numberOf: system.numberOf },
        changes,
        share: Math.exp(logTotals[a]! - total),
        solutions: worlds
          .filter(({ logWeight }) => logWeight > most + leastLogWeight)
          .map(({ solution: { spreads, values, factor }, place, logWeight }) => ({
            solution: { spreads, values, factor },
            place,
            weight: Math.exp(logWeight - total),
          })),
      };
    })
    .sort((a, b) => b.share - a.share);
}

/** The one change that hardly anything speaks against; where its place is not sure, its likeliest place. */
function sureChange(accounts: readonly Account[], observations: readonly Observation[]): ChangeEvent | null {
  const plain = accounts.find(({ changes }) => changes.length === 0);
  if ((plain?.share ?? 0) > 1 - beyondDoubt) return null;
  const [likeliest] = accounts[0]?.changes ?? [];
  if (likeliest === undefined) return null;
  const { scope, scopeId, atMs } = likeliest;
  const after = observations.filter(
    (each) => each.atMs >= atMs && each.seen.kind === "measured" && partId(scope, each) === scopeId,
  );
  const isOddBatch = scope === "batch";
  return isOddBatch || after.length < fewestAfter ? null : likeliest;
}

/** Spreads of which the tests can tell anything at all; of the others the usual ones stand. */
function axesOf(observations: readonly Observation[]): Axis[] {
  const count = (key: (each: Observation) => string): number => new Set(observations.map(key)).size;
  const levels = [count((each) => each.lampId), count((each) => each.supportId), count((each) => each.coatingId)];
  const combinations = count((each) => `${each.lampId} ${each.supportId} ${each.coatingId}`);
  const hasPairs = levels.filter((level) => level > 1).length >= 2 && combinations > Math.max(...levels);
  const hasReach = Math.max(...levels) >= 3;
  return ["print", ...(hasPairs ? ["pair" as const] : []), ...(hasReach ? ["reach" as const] : [])];
}
