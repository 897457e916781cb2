// The studio's model: all tests and prints at once, over all plausible worlds and what may have changed unnoted.
import { changeCandidates, logSum, type Candidate } from "./changes.ts";
import type { ChangeEvent, Observation } from "./observation.ts";
import { solveSystem, type Solution } from "./solve.ts";
import { worldsFor, type Spreads, type World } from "./spreads.ts";
import { systemOf, type System } from "./system.ts";
import { frameOf } from "./unknowns.ts";

/** One account of what happened: the equations with its changes, solved in each world. */
export interface Account {
  readonly system: System;
  /** The unnoted change that it supposes; null: none. */
  readonly change: ChangeEvent | null;
  /** Share of belief in it, of all accounts. */
  readonly share: number;
  readonly solutions: readonly { readonly solution: Solution; readonly weight: number }[];
}

export interface StudioFit {
  readonly observations: readonly Observation[];
  /** Noted events, and found changes that are beyond doubt. */
  readonly events: readonly ChangeEvent[];
  /** Found changes among the events. */
  readonly found: readonly ChangeEvent[];
  /** The most likely first; at least the one without a change. */
  readonly accounts: readonly Account[];
}

/** A change more likely than this, with so many tests after it, is taken as a fact. */
const beyondDoubt = 0.98;
const fewestAfter = 3;
const mostFound = 6;
/** Worlds with less than this share of the most likely one's weight are dropped. */
const leastWeight = 1e-3;
/** Rounds of reweighting before worlds are dropped. */
const roughRounds = 2;
/** For accounts of a change, only other spreads with this share of the most likely one's weight are weighed. */
const plausibleWeight = 0.05;

export interface FitOptions {
  /** Whether changes that nobody noted are looked for. */
  readonly looksForChanges?: boolean;
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
  { looksForChanges = true }: FitOptions = {},
): StudioFit {
  const worlds = worldsFor(varietyOf(observations));
  let known = [...events];
  const found: ChangeEvent[] = [];
  for (;;) {
    const system = systemOf(observations, frameOf(observations, known));
    const plain = solveWorlds(system, worlds, null, 0);
    const best = bestWorld(plain);
    const candidates = looksForChanges
      ? changeCandidates(
          system,
          worlds.filter(
            ({ spreads }) =>
              spreads.pair === best.pair &&
              spreads.reach === best.reach &&
              // Many tests tell the scatter, so that no other need be tried.
              (observations.length < 300 || spreads.print === best.print),
          ),
        )
      : [];
    const accounts = weighed([
      plain,
      ...candidates.map((each) => changedAccount(observations, known, plausibleWorlds(worlds, plain), each)),
    ]);
    const sure = found.length < mostFound ? sureChange(accounts, observations) : null;
    if (sure === null) return { observations, events: known, found, accounts };
    found.push(sure);
    known = [...known, sure];
  }
}

type Weighed = Omit<Account, "share" | "solutions"> & {
  readonly solutions: readonly { readonly solution: Solution; readonly logWeight: number }[];
};

function changedAccount(
  observations: readonly Observation[],
  known: readonly ChangeEvent[],
  worlds: readonly World[],
  { event, logPrior }: Candidate,
): Weighed {
  return solveWorlds(systemOf(observations, frameOf(observations, [...known, event])), worlds, event, logPrior);
}

function solveWorlds(system: System, worlds: readonly World[], change: ChangeEvent | null, logPrior: number): Weighed {
  let start: Float64Array | undefined;
  const roughly = (world: World): { world: World; solution: Solution; logWeight: number } => {
    const solution = solveSystem(system, world.spreads, { start, mostRounds: roughRounds });
    start = solution.values;
    return { world, solution, logWeight: logPrior + world.logPrior + solution.logEvidence };
  };
  // How prints scatter is told best: scatters that do not fit one of the other spreads fit none of them.
  const prints = [...new Set(worlds.map(({ spreads }) => spreads.print))].map((print) => {
    const alike = worlds.filter(({ spreads }) => spreads.print === print);
    return roughly(alike[alike.length >> 1]!);
  });
  const printMost = Math.max(...prints.map(({ logWeight }) => logWeight));
  const kept = new Set(
    prints
      .filter(({ logWeight }) => logWeight > printMost + Math.log(leastWeight))
      .map(({ world }) => world.spreads.print),
  );
  const rough = worlds
    .filter(({ spreads }) => kept.has(spreads.print))
    .map((world) => prints.find((each) => each.world === world) ?? roughly(world));
  const roughMost = Math.max(...rough.map(({ logWeight }) => logWeight));
  const solutions = rough
    .filter(({ logWeight }) => logWeight > roughMost + Math.log(leastWeight))
    .map(({ world, solution: begun }) => {
      if (begun.hasConverged) return { solution: begun, logWeight: logPrior + world.logPrior + begun.logEvidence };
      const solution = solveSystem(system, world.spreads, { start: begun.values });
      return { solution, logWeight: logPrior + world.logPrior + solution.logEvidence };
    });
  return { system, change, solutions };
}

/** Worlds of any print scatter whose other spreads the account leaves possible: a step in time hardly changes those. */
function plausibleWorlds(worlds: readonly World[], { solutions }: Weighed): World[] {
  const key = ({ pair, reach }: Spreads): string => `${pair} ${reach}`;
  const most = Math.max(...solutions.map(({ logWeight }) => logWeight));
  const kept = new Set(
    solutions
      .filter(({ logWeight }) => logWeight > most + Math.log(plausibleWeight))
      .map(({ solution }) => key(solution.spreads)),
  );
  return worlds.filter(({ spreads }) => kept.has(key(spreads)));
}

function bestWorld({ solutions }: Weighed): Solution["spreads"] {
  return solutions.reduce((best, each) => (each.logWeight > best.logWeight ? each : best)).solution.spreads;
}

function weighed(accounts: readonly Weighed[]): Account[] {
  const logTotals = accounts.map(({ solutions }) => logSum(solutions.map(({ logWeight }) => logWeight)));
  const total = logSum(logTotals);
  return accounts
    .map(({ system, change, solutions }, a) => ({
      system,
      change,
      share: Math.exp(logTotals[a]! - total),
      solutions: solutions.map(({ solution, logWeight }) => ({ solution, weight: Math.exp(logWeight - total) })),
    }))
    .sort((a, b) => b.share - a.share);
}

/** The one change that hardly anything speaks against; where its place is not sure, its likeliest place. */
function sureChange(accounts: readonly Account[], observations: readonly Observation[]): ChangeEvent | null {
  const plain = accounts.find(({ change }) => change === null);
  const [likeliest] = accounts;
  if (likeliest === undefined || likeliest.change === null || (plain?.share ?? 0) > 1 - beyondDoubt) return null;
  const { scope, scopeId, atMs } = likeliest.change;
  const after = observations.filter(
    (each) =>
      each.atMs >= atMs &&
      each.seen.kind === "measured" &&
      (scope === "lamp" ? each.lampId : scope === "support" ? each.supportId : each.coatingId) === scopeId,
  );
  const isOddBatch = scope === "batch";
  return isOddBatch || after.length < fewestAfter ? null : likeliest.change;
}

/** What the tests can tell apart at all. */
function varietyOf(observations: readonly Observation[]): { hasPairs: boolean; hasReach: boolean } {
  const count = (key: (each: Observation) => string): number => new Set(observations.map(key)).size;
  const levels = [count((each) => each.lampId), count((each) => each.supportId), count((each) => each.coatingId)];
  const combinations = count((each) => `${each.lampId} ${each.supportId} ${each.coatingId}`);
  return {
    hasPairs: levels.filter((level) => level > 1).length >= 2 && combinations > Math.max(...levels),
    hasReach: Math.max(...levels) >= 3,
  };
}
