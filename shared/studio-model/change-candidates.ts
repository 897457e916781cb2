// Where something may have changed that nobody noted: candidates for a step in the speed of a lamp, a support, a
// coating or a batch.
import { logSum } from "#shared/statistics/log-sum.ts";
import { sparseQuadraticForm } from "#shared/statistics/sparse-cholesky.ts";
import { batchKey, isAfter, isInScope, type ChangeEvent, type ChangeScope, type Observation } from "./observation.ts";
import { solveSystem } from "./solve.ts";
import type { System } from "./system.ts";
import { manyTests, type WeighedWorld } from "./worlds.ts";
import { logPriorAt, spreadsAt, type Place } from "./spreads.ts";
import { changeOdds, unnotedSpread } from "./unnoted-changes.ts";

/** Gaps that are looked at one by one, from the newest back; older ones are taken in so many leaps. */
const newestGaps = 24;
const olderGaps = 16;
/** In a studio with more tests than this fewer gaps are looked at, so that an answer does not wait for them. */
const newestGapsOfMany = 5;
const leastOddsOfMany = 0.05;
/** Candidates less likely than this beside no change at all are dropped, and only so many are kept. */
const leastOdds = 2e-3;
const mostCandidates = 7;

/** What changed since a fit of nearly the same tests. */
export interface Touched {
  readonly observations: readonly Observation[];
  /** Changes that the fit before weighed. */
  readonly eventIds: ReadonlySet<string>;
}

export interface Candidate {
  readonly event: ChangeEvent;
  readonly logPrior: number;
}

/**
 * Changes that the tests make worth weighing, most likely first.
 * @param worlds that are likely without a change; screened are those of the likeliest other spreads, and smaller
 *   scatters of prints
 * @param touched of many tests only changes that these are about, or that were weighed before, are looked at again
 * Source: HoetingEtAl1999 (averaging over models), with each candidate's evidence by a step of rank one.
 */
export function changeCandidates(
  system: System,
  worlds: readonly WeighedWorld[],
  touched: Touched | null = null,
): Candidate[] {
  const isFew = touched === null || system.observations.length <= manyTests;
  const all = candidatesOf(system).filter(
    ({ event }) =>
      isFew || touched.eventIds.has(event.id) || touched.observations.some((each) => isInScope(event, each)),
  );
  if (all.length === 0) return [];
  const logOdds = new Float64Array(all.length).fill(-Infinity);
  const solved = screeningPlaces(worlds, system.observations.length > manyTests).map((place) => ({
    place,
    solution: solveSystem(system, spreadsAt(place), { errors: "normal", mostRounds: 4 }),
  }));
  const weightOf = solved.map(({ place, solution }) => logPriorAt(place) + solution.logEvidence);
  const most = Math.max(...weightOf);
  const totalWeight = logSum(weightOf.map((each) => each - most)) + most;
  const within = byScope(system.observations);
  all.forEach(({ event, logPrior }, c) => {
    const after = (within.get(`${event.scope} ${event.scopeId}`) ?? []).filter((i) =>
      isAfter(event, system.observations[i]!),
    );
    for (const [w, { solution }] of solved.entries()) {
      const right = new Float64Array(system.unknowns.length);
      let pull = 0;
      let precision = 0;
      for (const i of after) {
        const cell = system.cells[system.cellOf[i]!]!;
        const weight = solution.weights[i]!;
        pull += weight * solution.residuals[i]!;
        precision += weight;
        const { unknowns, coefficients } = cell;
        for (let p = 0; p < unknowns.length; p++) right[unknowns[p]!]! += weight * coefficients[p]!;
      }
      precision -= sparseQuadraticForm(solution.factor, right);
      const gain = 1 + event.spread ** 2 * Math.max(0, precision);
      const logFactor = (-Math.log(gain) + (event.spread ** 2 * pull ** 2) / gain) / 2;
      logOdds[c] = logSum([logOdds[c]!, weightOf[w]! - totalWeight + logFactor + logPrior]);
    }
  });
  const isMany = system.observations.length > manyTests;
  return all
    .map((candidate, c) => ({ candidate, odds: logOdds[c]! }))
    .filter(({ odds }) => odds > Math.log(isMany ? leastOddsOfMany : leastOdds))
    .sort((a, b) => b.odds - a.odds)
    .slice(0, isMany ? 2 : mostCandidates)
    .map(({ candidate }) => candidate);
}

/** Scatters of prints in which a change is looked for; many tests tell the scatter, so that no other need be tried. */
function screeningPlaces(worlds: readonly WeighedWorld[], isMany: boolean): Place[] {
  const { place } = worlds.reduce((best, each) => (each.logWeight > best.logWeight ? each : best));
  return isMany ? [place] : [-2.1, -1.4, -0.7, 0, 0.7, 1.4].map((step) => ({ ...place, print: place.print + step }));
}

type TimelineScope = Exclude<ChangeScope, "studio">;

function candidatesOf({ observations, frame }: System): Candidate[] {
  const found: Candidate[] = [];
  const seenSplits = new Set<string>();
  const measured = observations.filter(({ seen }) => seen.kind === "measured").sort((a, b) => a.atMs - b.atMs);
  const placeOf = new Map(measured.map((test, i) => [test, i + 1]));
  const timelines = new Map<string, { scope: TimelineScope; scopeId: string; tests: Observation[] }>();
  const add = (scope: TimelineScope, scopeId: string, test: Observation): void => {
    const key = `${scope} ${scopeId}`;
    const line = timelines.get(key);
    if (line === undefined) timelines.set(key, { scope, scopeId, tests: [test] });
    else line.tests.push(test);
  };
  for (const test of measured) add("lamp", test.lampId, test);
  for (const test of measured) add("coating", test.coatingId, test);
  for (const test of measured) add("support", test.supportId, test);
  for (const test of measured) if (test.batchId !== null) add("batch", batchKey(test), test);
  const offer = (event: ChangeEvent, tests: readonly Observation[], odds: number): void => {
    const split = keyOf(tests, placeOf);
    const isKnown = frame.events.some((each) =>
      observations.every((test) => isAfter(each, test) === isAfter(event, test)),
    );
    if (isKnown || seenSplits.has(split)) return;
    seenSplits.add(split);
    found.push({ event, logPrior: Math.log(odds) });
  };
  for (const { scope, scopeId, tests } of timelines.values()) {
    if (scope === "batch") {
      if (tests.length < measured.length) offer(eventOf(scope, scopeId, -Infinity), tests, changeOdds(scope, 0));
      continue;
    }
    for (const k of gapsOf(tests.length, observations.length > manyTests)) {
      if (tests[k]!.atMs === tests[k - 1]!.atMs) continue;
      offer(eventOf(scope, scopeId, tests[k]!.atMs), tests.slice(k), changeOdds(scope, tests.length - 1));
    }
  }
  return found;
}

/** Numbers of the observations of each lamp, support, coating and batch. */
function byScope(observations: readonly Observation[]): Map<string, number[]> {
  const found = new Map<string, number[]>();
  observations.forEach((each, i) => {
    const keys = [`lamp ${each.lampId}`, `support ${each.supportId}`, `coating ${each.coatingId}`];
    if (each.batchId !== null) keys.push(`batch ${batchKey(each)}`);
    for (const key of keys) {
      const list = found.get(key);
      if (list === undefined) found.set(key, [i]);
      else list.push(i);
    }
  });
  return found;
}

/** The same for the same tests, whatever timeline they stand in; two sums tell apart what one might not. */
function keyOf(tests: readonly Observation[], placeOf: ReadonlyMap<Observation, number>): string {
  let sum = 0;
  let squares = 0;
  for (const test of tests) {
    const place = placeOf.get(test) ?? 0;
    sum += place;
    squares += place * place;
  }
  return `${tests.length} ${sum} ${squares}`;
}

function eventOf(scope: ChangeScope, scopeId: string, atMs: number): ChangeEvent {
  return { id: `unnoted ${scope} ${scopeId} ${atMs}`, scope, scopeId, atMs, spread: unnotedSpread, isNewLight: false };
}

/** Numbers of the tests before which a change is looked for: all of few, the newest and some older of many. */
function gapsOf(count: number, isMany: boolean): number[] {
  const first = Math.max(1, count - (isMany ? newestGapsOfMany : newestGaps));
  const newest = Array.from({ length: Math.max(0, count - first) }, (_, i) => first + i);
  const step = Math.max(1, Math.ceil((first - 1) / (isMany ? olderGaps / 2 : olderGaps)));
  const older: number[] = [];
  for (let k = first - step; k >= 1; k -= step) older.push(k);
  return [...newest, ...older];
}
