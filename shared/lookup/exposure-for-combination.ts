// The time for a lamp, support, coating and film: from tests of just these, from tests carried over, or from others.
import { batchKeepingWarnings } from "#shared/coating/keeping.ts";
import { isDaylight } from "#shared/lamp/daylight.ts";
import { predictTime } from "#shared/studio-model/predict.ts";
import { agreementWarnings, leftOut } from "./agreement.ts";
import { besideOwnTests } from "./beside-own-tests.ts";
import { carry, type CarriedTest } from "./carried-tests.ts";
import { ageingWarnings } from "./lamp-speeds.ts";
import { secondsOf, type Answer } from "./lookup-answer.ts";
import { namedTest, type ExposureFinding, type LookupWarning, type Provenance } from "./lookup-facts.ts";
import type { ExposureInput, TimedTest } from "./lookup-input.ts";
import { predictedTime } from "./predicted-time.ts";
import { circumstancesOf, referenceDistanceMm } from "./studio-observations.ts";
import { timeUnderTheSun } from "./sun-time.ts";
import { batchProvenance, conditionWarnings } from "./unlike-tests.ts";

/**
 * Advice for a combination with where it comes from. Every time is the studio model's; tests of just this combination,
 * tests carried to another film, distance or lamp age, and other combinations differ only in what is said of where it
 * comes from. Where tests of the combination contradict each other there is no time.
 * Valid: one kind of process; a sun test's time only for the sun it was made under.
 */
export function exposureForCombination(input: ExposureInput): ExposureFinding {
  const { wanted, tests, shareShift } = input;
  const answer = answerFor(input);
  const isUnreached = answer.estimate !== null && shareShift === "not-reached";
  return {
    lampId: wanted.lamp.id,
    supportId: wanted.support.id,
    coatingId: wanted.coating.id,
    filmId: wanted.film?.id ?? null,
    ...secondsOf(answer, shareShift),
    targetShare: wanted.targetShare,
    filmDensity: wanted.film?.baseDensity ?? 0,
    distanceMm: wanted.distanceMm ?? referenceDistanceMm(wanted.lamp, tests),
    source: answer.source,
    verdict: answer.verdict,
    provenance: answer.provenance,
    testIds: answer.testIds,
    warnings: [
      ...wantedWarnings(input),
      ...ageingWarnings(input),
      ...answer.warnings,
      ...(isUnreached ? [{ code: "share-not-reached", share: wanted.targetShare } as const] : []),
    ],
  };
}

function answerFor(input: ExposureInput): Answer {
  const { wanted, tests, fit } = input;
  const counted = new Set(fit.observations.map(({ id }) => id));
  const isSun = isDaylight(wanted.lamp.kind);
  const own = tests.filter(
    (test) =>
      test.lampId === wanted.lamp.id && test.supportId === wanted.support.id && test.coatingId === wanted.coating.id,
  );
  const outcomes = own.flatMap((test) => carry(test, input) ?? []);
  const carried = outcomes.flatMap((each) => ("test" in each && (isSun || counted.has(each.test.id)) ? [each] : []));
  const refusals = outcomes.flatMap((each) => ("refusal" in each ? [each.refusal] : []));
  const exact = carried.filter((each) => each.changes.length === 0);
  const used = exact.length > 0 ? exact : carried;
  if (used.length === 0) {
    const predicted = predictedTime(input);
    return { ...predicted, provenance: [...predicted.provenance, ...refusals, ...unreached(own)] };
  }
  if (isSun) return timeUnderTheSun(used, wanted);
  return ownTime(input, used, [...refusals, ...leftOut(own, counted)]);
}

/** From tests of the combination itself, as they stand or carried over. */
function ownTime(input: ExposureInput, used: readonly CarriedTest[], rest: readonly Provenance[]): Answer {
  const { fit } = input;
  const newestFirst = used.map(({ test }) => test);
  const only = used.length === 1 ? used[0]?.test : undefined;
  const source = sourceOf(used);
  const origin: Provenance =
    only === undefined
      ? { code: "several-tests", tests: newestFirst.map(namedTest) }
      : { code: "one-test", test: namedTest(only) };
  const of = circumstancesOf(input);
  const estimate = predictTime(fit, of);
  const testIds = new Set(newestFirst.map(({ id }) => id));
  const disputes = agreementWarnings(input, testIds);
  return {
    source,
    estimate,
    provenance: [
      origin,
      ...batchProvenance(input.wanted, newestFirst),
      // Of tests that contradict each other, or that a change parts, the mean says nothing.
      ...(disputes.length > 0
        ? []
        : besideOwnTests({ input, of, testIds, logSeconds: estimate.calibration.logSeconds })),
      ...used.flatMap(({ changes }) => changes),
      ...rest,
    ],
    testIds: [...testIds],
    verdict: source === "tested" ? (only?.verdict ?? null) : null,
    warnings: [...disputes, ...conditionWarnings(newestFirst)],
  };
}

function sourceOf(used: readonly CarriedTest[]): "transferred" | "tested" | "pooled" {
  if (used.some(({ changes }) => changes.length > 0)) return "transferred";
  return used.length === 1 ? "tested" : "pooled";
}

function wantedWarnings({ wanted: { film, lamp, batch }, atMs }: ExposureInput): LookupWarning[] {
  const warnings: LookupWarning[] = [];
  if (film !== null && (film.baseDensity ?? null) === null)
    warnings.push({ code: "film-base-missing", filmName: film.name });
  if (isDaylight(lamp.kind)) warnings.push({ code: "sun-changes" });
  return [...warnings, ...batchKeepingWarnings(batch, new Date(atMs).toISOString())];
}

function unreached(own: readonly TimedTest[]): Provenance[] {
  const latest = [...own]
    .filter((test) => test.shoulderLogH === null)
    .sort((a, b) => b.madeAt.localeCompare(a.madeAt))[0];
  return latest === undefined ? [] : [{ code: "test-without-time", test: namedTest(latest), verdict: latest.verdict }];
}
