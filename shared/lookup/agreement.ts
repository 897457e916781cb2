// Whether the tests that a time rests on agree, and which of a combination's tests do not count.
import { isAfter, isInScope, type ChangeEvent, type Observation } from "#shared/studio-model/observation.ts";
import { namedTest, type LookupWarning, type Provenance } from "./lookup-facts.ts";
import type { TimedTest } from "./lookup-input.ts";
import { ownTests } from "./own-tests.ts";

/** Observations of one combination after the last change that was noted for it. */
function sinceLastChange(own: readonly Observation[], events: readonly ChangeEvent[]): readonly Observation[] {
  return own.filter((each) => events.every((event) => !isInScope(event, each) || isAfter(event, each)));
}

/** What the combination's own tests say against each other, since the last change that was noted for it. */
export function agreementWarnings(
  own: readonly Observation[],
  tests: readonly TimedTest[],
  events: readonly ChangeEvent[],
): LookupWarning[] {
  const standing = ownTests(sinceLastChange(own, events));
  if (standing === null) return [];
  const odd = standing.oddId === null ? undefined : tests.find(({ id }) => id === standing.oddId);
  if (standing.doDisagree) return [{ code: "tests-disagree", ...(odd === undefined ? {} : { odd: namedTest(odd) }) }];
  if (standing.changedAtMs === null) return [];
  return [{ code: "something-changed", since: new Date(standing.changedAtMs).toISOString() }];
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
