// How the tests of one combination stand to each other: whether they agree, which is odd, whether something changed.
import { isNewestOutOfLine } from "#shared/studio-model/alarm.ts";
import type { Observation } from "#shared/studio-model/observation.ts";
import { predictTime, standingBeside, suspectedChanges, type Standing } from "#shared/studio-model/predict.ts";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";

/** Tests looked at; older ones say little of today. */
const mostTests = 24;
/** The odd one is looked for among so many. */
const mostForOdd = 10;
/** One of so many tests made alike would stand so far off. */
const oddChance = 1 / 100;
/**
 * A scatter between prints that no studio at work has [log10]: more than a quarter of a stop. common practice, no
 * source
 */
const unlikelySpread = 0.075;

export interface OwnTests {
  /** They contradict each other, and no one change between old and new explains it. */
  readonly doDisagree: boolean;
  /** The test that stands furthest from the others, when they disagree. */
  readonly oddId: string | null;
  /** The newest beside all before it; null with fewer than two. */
  readonly newest: Standing | null;
  /** The newest asks what changed. */
  readonly isNewestOdd: boolean;
  /** Instant of the likeliest change [ms]; null where none is likely. */
  readonly changedAtMs: number | null;
  /** Scatter from print to print that they show, with what is usual [log10]. */
  readonly printSpread: number;
}

/** A change more likely than this is spoken of. */
const likelyShare = 0.5;

/**
 * Holds the measured tests of one combination against each other.
 * @param all its observations, in any order; only measured ones are read
 * @returns null with fewer than two
 */
export function ownTests(all: readonly Observation[]): OwnTests | null {
  const tests = all
    .filter(({ seen }) => seen.kind === "measured")
    .sort((a, b) => a.atMs - b.atMs)
    .slice(-mostTests);
  const newestTest = tests.at(-1);
  if (newestTest === undefined || tests.length < 2) return null;
  const fit = fitStudio(tests);
  const newest = standingBeside(fitStudio(tests.slice(0, -1), [], { looksForChanges: false }), newestTest);
  const suspected = suspectedChanges(fit);
  const [likeliest] = suspected;
  const found = fit.found.at(-1) ?? null;
  const likely = likeliest !== undefined && suspected.reduce((sum, { share }) => sum + share, 0) > likelyShare;
  const changedAtMs = found?.atMs ?? (likely ? likeliest.event.atMs : null);
  const since = changedAtMs === null ? tests : tests.filter(({ atMs }) => atMs >= changedAtMs);
  const alike = since.length < 2 ? { isUnlikely: false, oddId: null } : agreementOf(since);
  const printSpread = predictTime(fit, newestTest).printSpread;
  return {
    doDisagree: alike.isUnlikely || (since.length === 1 && newest !== null && newest.chance < oddChance),
    oddId: alike.oddId ?? (since.length === 1 ? newestTest.id : null),
    newest,
    isNewestOdd: isNewestOutOfLine(newest, suspected, fit.found),
    changedAtMs,
    printSpread,
  };
}

/** Whether tests between which nothing changed contradict each other, and which stands furthest off. */
function agreementOf(tests: readonly Observation[]): { isUnlikely: boolean; oddId: string | null } {
  const looked = tests.slice(-mostForOdd);
  const standings = looked.map((test) => ({
    id: test.id,
    chance:
      standingBeside(
        fitStudio(
          looked.filter((each) => each !== test),
          [],
          { looksForChanges: false },
        ),
        test,
      )?.chance ?? 1,
  }));
  const oddest = standings.reduce((odd, each) => (each.chance < odd.chance ? each : odd));
  const [last] = looked;
  const spread =
    last === undefined ? 0 : predictTime(fitStudio(looked, [], { looksForChanges: false }), last).printSpread;
  // Of several tests one is always the oddest: the chance is shared among them.
  const isOdd = oddest.chance < oddChance / Math.max(1, looked.length - 1);
  const isUnlikely = isOdd || spread > unlikelySpread;
  return { isUnlikely, oddId: isUnlikely && looked.length > 2 ? oddest.id : null };
}
