// Whether the tests that a time rests on agree, and which of a combination's tests do not count.
import { isAfter, isInScope, type ChangeEvent, type Observation } from "#shared/studio-model/observation.ts";
import { namedTest, type LookupWarning, type Provenance } from "./lookup-facts.ts";
import { stopsFromLogH } from "#shared/units/stops.ts";
import { scatterBeside } from "./scatter-beside.ts";
import type { ExposureInput, TimedTest } from "./lookup-input.ts";
import { ownTests } from "./own-tests.ts";

/** Observations of one combination after the last change that was noted for it and has come about. */
function sinceLastChange(own: readonly Observation[], events: readonly ChangeEvent[]): readonly Observation[] {
  return own.filter((each) => events.every((event) => !isInScope(event, each) || isAfter(event, each)));
}

/** What the combination's own tests say against each other, since the last change that was noted for it. */
export function agreementWarnings({ tests, fit, atMs }: ExposureInput, ids: ReadonlySet<string>): LookupWarning[] {
  const own = sinceLastChange(
    fit.observations.filter(({ id }) => ids.has(id)),
    fit.events.filter((event) => !fit.found.includes(event) && event.atMs <= atMs),
  );
  const standing = ownTests(own, scatterBeside(fit, own.length));
  if (standing === null) return [];
  const odd = standing.oddId === null ? undefined : tests.find(({ id }) => id === standing.oddId);
  if (standing.doDisagree) return [{ code: "tests-disagree", ...(odd === undefined ? {} : { odd: namedTest(odd) }) }];
  if (standing.changedAtMs !== null)
    return [{ code: "something-changed", since: new Date(standing.changedAtMs).toISOString() }];
  return standing.isNewestOdd ? newestOdd(own, tests) : [];
}

function newestOdd(own: readonly Observation[], tests: readonly TimedTest[]): LookupWarning[] {
  const measured = own.flatMap(({ id, atMs, seen }) =>
    seen.kind === "measured" ? [{ id, atMs, logSeconds: seen.logSeconds }] : [],
  );
  const [newest, ...before] = measured.sort((a, b) => b.atMs - a.atMs);
  const test = tests.find(({ id }) => id === newest?.id);
  if (newest === undefined || test === undefined) return [];
  const mean = before.reduce((sum, { logSeconds }) => sum + logSeconds, 0) / before.length;
  return [{ code: "newest-test-odd", test: namedTest(test), stops: stopsFromLogH(newest.logSeconds - mean) }];
}

/** Tests of the combination that told a time and do not count. */
export function leftOut(own: readonly TimedTest[], counted: ReadonlySet<string>): Provenance[] {
  const left = own.filter((test) => test.shoulderLogH !== null && !counted.has(test.id));
  const unreliable = left.filter(({ verdict }) => verdict === "unreliable").map(namedTest);
  const again = left.filter(
    ({ verdict, filmInTest, pictureId, id }) =>
      verdict !== "unreliable" && !filmInTest && own.some((each) => each.pictureId === pictureId && each.id !== id),
  );
  return [
    ...(unreliable.length > 0 ? [{ code: "unreliable-left-out", tests: unreliable } as const] : []),
    ...(again.length > 0 ? [{ code: "same-picture", tests: again.map(namedTest) } as const] : []),
  ];
}
