// The time for a lamp, support, coating and film: from tests of just these, from tests carried over, or from others.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { Verdict } from "#shared/schema/curve.ts";
import type { ExposureSource } from "#shared/schema/exposures.ts";
import type { Coating, Film, Lamp, Support } from "#shared/schema/materials.ts";
import { distanceChange, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { ageingShift, lampAgeing, type LampSpeed } from "#shared/lamp/lamp-ageing.ts";
import { predictLogSpeed, type LogSpeedTest } from "./additive-log-speed.ts";
import type { ExposureFinding, LookupWarning, NamedTest, Provenance } from "./lookup-facts.ts";
import { poolLogSeconds, type LogSecondsEstimate } from "./pool-log-seconds.ts";

/** What a saved test tells about the time of its combination. */
export interface TimedTest {
  readonly id: string;
  readonly name: string;
  readonly madeAt: string;
  readonly lampId: string;
  readonly supportId: string;
  readonly coatingId: string;
  readonly filmId: string | null;
  readonly verdict: Verdict;
  /** log10 of the seconds to 90 % of net D-max; null when the test does not reach it. */
  readonly shoulderLogH: number | null;
  readonly sigmaLogH: number | null;
  readonly degreesOfFreedom: number | null;
  /** True when the film lay over the coating, so that `shoulderLogH` holds its density already. */
  readonly filmInTest: boolean;
  readonly lampDistanceMm: number | null;
  readonly lampHours: number | null;
  readonly isUnderSun: boolean;
}

export interface WantedCombination {
  readonly lamp: Lamp;
  readonly support: Support;
  readonly coating: Coating;
  readonly film: Film | null;
  readonly targetShare: number;
  readonly distanceMm: number | null;
  readonly lampHours: number | null;
}

export interface ExposureInput {
  readonly wanted: WantedCombination;
  /** Tests of one channel. */
  readonly tests: readonly TimedTest[];
  /** Base density of each film that is known. */
  readonly filmDensities: ReadonlyMap<string, number>;
  /** log H at the wanted share less log H at 90 %, from the weightiest curve of the combination or its coating. */
  readonly shareShiftLogH: number;
}

/** Distances closer than this are the same. */
const sameDistanceShare = 0.01;
/** A prediction wider than this factor from end to end is no help. */
const widestPredictionLogH = 1.3;
/** Beyond this factor a range deserves a warning. */
const wideLogH = 0.3;

/** One test carried to the wanted film, distance and lamp age. */
interface CarriedTest extends LogSecondsEstimate {
  readonly test: TimedTest;
  /** What had to be changed; empty for a test of just the wanted conditions. */
  readonly changes: readonly Provenance[];
}

/**
 * Advice for a combination with where it comes from.
 * Tests of just this combination come first; then such tests carried to another film, distance or lamp age; then the
 * additive model over all tests; else nothing is said but which test to make.
 * Valid: one kind of process; a sun test's time only for the sun it was made under.
 */
export function exposureForCombination(input: ExposureInput): ExposureFinding {
  const { wanted, tests } = input;
  const filmDensity = wanted.film?.baseDensity ?? null;
  const own = tests.filter(
    (test) =>
      test.lampId === wanted.lamp.id && test.supportId === wanted.support.id && test.coatingId === wanted.coating.id,
  );
  const outcomes = own.flatMap((test) => carry(test, input) ?? []);
  const carried = outcomes.flatMap((each) => ("test" in each ? [each] : []));
  const refusals = outcomes.flatMap((each) => ("refusal" in each ? [each.refusal] : []));
  const exact = carried.filter((each) => each.changes.length === 0);
  const used = exact.length > 0 ? exact : carried;
  const warnings = [...wantedWarnings(wanted), ...ageingWarnings(input)];
  const answer = (source: ExposureSource, estimate: LogSecondsEstimate | null, rest: AnswerParts): ExposureFinding => ({
    lampId: wanted.lamp.id,
    supportId: wanted.support.id,
    coatingId: wanted.coating.id,
    filmId: wanted.film?.id ?? null,
    ...secondsOf(estimate),
    targetShare: wanted.targetShare,
    filmDensity: filmDensity ?? 0,
    distanceMm: wanted.distanceMm ?? wanted.lamp.distanceMm ?? null,
    source,
    verdict: rest.verdict ?? null,
    provenance: rest.provenance,
    testIds: rest.testIds,
    warnings: [...warnings, ...(rest.warnings ?? [])],
  });

  if (used.length > 0) {
    const { estimate, doTestsDisagree } = poolLogSeconds(used);
    const byWeight = [...used].sort((a, b) => a.sigma - b.sigma).map((each) => each.test);
    const changes = used.flatMap((each) => each.changes);
    const only = used.length === 1 ? used[0] : undefined;
    const source = exact.length === 0 ? "transferred" : only === undefined ? "pooled" : "tested";
    const origin: Provenance =
      only === undefined
        ? { code: "several-tests", tests: byWeight.map(named) }
        : { code: "one-test", test: named(only.test) };
    return answer(source, shifted(estimate, input.shareShiftLogH), {
      provenance: [origin, ...changes, ...refusals],
      testIds: byWeight.map((test) => test.id),
      verdict: source === "tested" ? (only?.test.verdict ?? null) : null,
      warnings: doTestsDisagree ? [{ code: "tests-disagree" }] : [],
    });
  }
  const untold = [...refusals, ...unreached(own)];
  const prediction = predicted(input);
  return answer(prediction.source, prediction.estimate, {
    ...prediction.rest,
    provenance: [...prediction.rest.provenance, ...untold],
  });
}

interface AnswerParts {
  readonly provenance: readonly Provenance[];
  readonly testIds: readonly string[];
  readonly verdict?: Verdict | null;
  readonly warnings?: readonly LookupWarning[];
}

function wantedWarnings({ film, lamp }: WantedCombination): LookupWarning[] {
  const warnings: LookupWarning[] = [];
  if (film !== null && (film.baseDensity ?? null) === null)
    warnings.push({ code: "film-base-missing", filmName: film.name });
  if (lamp.kind === "sun" || lamp.kind === "shade") warnings.push({ code: "sun-changes" });
  return warnings;
}

function named({ name, madeAt }: TimedTest): NamedTest {
  return { name, madeAt };
}

function secondsOf(
  estimate: LogSecondsEstimate | null,
): Pick<ExposureFinding, "seconds" | "lowerSeconds" | "upperSeconds"> {
  if (estimate === null) return { seconds: null, lowerSeconds: null, upperSeconds: null };
  return { seconds: 10 ** estimate.logSeconds, lowerSeconds: 10 ** estimate.lower, upperSeconds: 10 ** estimate.upper };
}

function shifted(estimate: LogSecondsEstimate, by: number): LogSecondsEstimate {
  return { ...estimate, logSeconds: estimate.logSeconds + by, lower: estimate.lower + by, upper: estimate.upper + by };
}

/** log H of the bare coating at the shoulder; null when a film of unknown density lay over the test. */
function bareLogH(test: TimedTest, filmDensities: ReadonlyMap<string, number>): number | null {
  if (test.shoulderLogH === null) return null;
  if (!test.filmInTest) return test.shoulderLogH;
  const density = test.filmId === null ? undefined : filmDensities.get(test.filmId);
  return density === undefined ? null : test.shoulderLogH - density;
}

/** Carries one test of the combination to the wanted conditions, or says why it cannot; null for a test without a time. */
function carry(
  test: TimedTest,
  { wanted, tests, filmDensities }: ExposureInput,
): CarriedTest | { readonly refusal: Provenance } | null {
  if (test.shoulderLogH === null || test.sigmaLogH === null) return null;
  const changes: Provenance[] = [];
  const wantedFilmId = wanted.film?.id ?? null;
  let logSeconds: number;
  if (test.filmInTest && test.filmId === wantedFilmId) logSeconds = test.shoulderLogH;
  else {
    const bare = bareLogH(test, filmDensities);
    if (bare === null) return { refusal: { code: "film-of-test-unknown", test: named(test) } };
    logSeconds = bare + (wanted.film?.baseDensity ?? 0);
    if (test.filmId !== wantedFilmId) {
      changes.push(
        wanted.film === null
          ? { code: "for-bare-coating" }
          : {
              code: "for-film",
              filmName: wanted.film.name,
              baseDensity: wanted.film.baseDensity ?? 0,
              testHadFilm: test.filmId !== null,
            },
      );
    }
  }
  let variance = test.sigmaLogH ** 2;
  const move = carryDistance(test, wanted, tests);
  if (move === "too-far") {
    const fromMm = test.lampDistanceMm ?? wanted.lamp.distanceMm ?? 0;
    return { refusal: { code: "too-far", test: named(test), fromMm, toMm: wanted.distanceMm ?? 0 } };
  }
  if (move === "unknown") return { refusal: { code: "distance-unknown", test: named(test) } };
  if (move !== null) {
    logSeconds += move.shiftLogH;
    variance += move.sigmaLogH ** 2;
    changes.push(move.change);
  }
  const age = carryAge(test, wanted, tests);
  if (age !== null) {
    logSeconds += age.shiftLogH;
    variance += age.sigmaLogH ** 2;
    changes.push(age.change);
  }
  return { test, changes, ...estimateFrom(logSeconds, Math.sqrt(variance), test.degreesOfFreedom ?? 1) };
}

function estimateFrom(logSeconds: number, sigma: number, degreesOfFreedom: number): LogSecondsEstimate {
  return poolLogSeconds([{ logSeconds, sigma, degreesOfFreedom, lower: 0, upper: 0 }]).estimate;
}

type Move = { readonly shiftLogH: number; readonly sigmaLogH: number; readonly change: Provenance };

function carryDistance(
  test: TimedTest,
  wanted: WantedCombination,
  tests: readonly TimedTest[],
): Move | "too-far" | "unknown" | null {
  const usual = wanted.lamp.distanceMm ?? null;
  const toMm = wanted.distanceMm ?? usual;
  const fromMm = test.lampDistanceMm ?? usual;
  if (toMm === null || (wanted.distanceMm === null && test.lampDistanceMm === null)) return null;
  if (fromMm === null) return "unknown";
  if (Math.abs(toMm / fromMm - 1) < sameDistanceShare) return null;
  const measuredMm = tests
    .filter((each) => each.lampId === wanted.lamp.id && each.shoulderLogH !== null)
    .flatMap((each) => each.lampDistanceMm ?? []);
  const shape = shapeOfLamp(wanted.lamp);
  const change = distanceChange({ shape, fromMm, toMm, measuredMm });
  if (change === null) return "too-far";
  const { basis, shiftLogH, sigmaLogH } = change;
  return { shiftLogH, sigmaLogH, change: { code: "other-distance", fromMm, toMm, basis, shiftLogH } };
}

function carryAge(test: TimedTest, wanted: WantedCombination, tests: readonly TimedTest[]): Move | null {
  if (wanted.lampHours === null || test.lampHours === null || wanted.lampHours === test.lampHours) return null;
  const shift = ageingShift(lampSpeeds(tests, wanted.lamp.id), test.lampHours, wanted.lampHours);
  if (shift === null || Math.abs(shift.shiftLogH) < 0.002) return null;
  return {
    ...shift,
    change: {
      code: "other-lamp-hours",
      fromHours: test.lampHours,
      toHours: wanted.lampHours,
      shiftLogH: shift.shiftLogH,
    },
  };
}

/** Speeds of a lamp over its hours, from the combination that was tested under it at the most different hours. */
export function lampSpeeds(tests: readonly TimedTest[], lampId: string): LampSpeed[] {
  const groups = new Map<string, LampSpeed[]>();
  for (const test of tests) {
    if (test.lampId !== lampId || test.lampHours === null || test.shoulderLogH === null) continue;
    const key = [test.supportId, test.coatingId, test.filmInTest ? test.filmId : "", test.lampDistanceMm ?? ""].join(
      " ",
    );
    const speed = { hours: test.lampHours, logSpeed: -test.shoulderLogH };
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [speed]);
    else group.push(speed);
  }
  const distinct = (speeds: readonly LampSpeed[]): number => new Set(speeds.map((speed) => speed.hours)).size;
  return [...groups.values()].sort((a, b) => distinct(b) - distinct(a))[0] ?? [];
}

function ageingWarnings({ wanted, tests }: ExposureInput): LookupWarning[] {
  const { lamp, lampHours } = wanted;
  if (lamp.kind === "sun" || lamp.kind === "shade") return [];
  const ageing = lampAgeing(lampSpeeds(tests, lamp.id), lampHours ?? undefined);
  return ageing.shouldRetest ? [{ code: "re-test-lamp", ageing: ageing.finding }] : [];
}

function unreached(own: readonly TimedTest[]): Provenance[] {
  const latest = [...own]
    .filter((test) => test.shoulderLogH === null)
    .sort((a, b) => b.madeAt.localeCompare(a.madeAt))[0];
  return latest === undefined ? [] : [{ code: "test-without-time", test: named(latest), verdict: latest.verdict }];
}

interface Prediction {
  readonly source: ExposureSource;
  readonly estimate: LogSecondsEstimate | null;
  readonly rest: AnswerParts;
}

/** What is said where nothing can be drawn from any test: which one to make, and why. */
function unknown({ coating, support, lamp }: WantedCombination, why: readonly Provenance[] = []): Prediction {
  const makeTest: Provenance = {
    code: "make-a-test",
    coatingName: coating.name,
    supportName: support.name,
    lampName: lamp.name,
  };
  return { source: "unknown", estimate: null, rest: { provenance: [makeTest, ...why], testIds: [] } };
}

function predicted(input: ExposureInput): Prediction {
  const { wanted, tests, filmDensities } = input;
  if (wanted.lamp.kind === "sun" || wanted.lamp.kind === "shade") return unknown(wanted);
  const rows = tests.flatMap((test): (LogSpeedTest & { id: string })[] => {
    const logSeconds = bareLogH(test, filmDensities);
    if (logSeconds === null || test.sigmaLogH === null || test.isUnderSun) return [];
    return [
      {
        id: test.id,
        lampId: test.lampId,
        supportId: test.supportId,
        coatingId: test.coatingId,
        logSeconds,
        sigma: test.sigmaLogH,
      },
    ];
  });
  const prediction = predictLogSpeed(rows, {
    lampId: wanted.lamp.id,
    supportId: wanted.support.id,
    coatingId: wanted.coating.id,
  });
  if (prediction === null || prediction.upper - prediction.lower > widestPredictionLogH)
    return unknown(wanted, prediction === null ? [] : [{ code: "tests-share-too-little" }]);
  const change =
    wanted.distanceMm === null || !wanted.lamp.distanceMm
      ? null
      : distanceChange({
          shape: shapeOfLamp(wanted.lamp),
          fromMm: wanted.lamp.distanceMm,
          toMm: wanted.distanceMm,
          measuredMm: [],
        });
  if (wanted.distanceMm !== null && change === null) {
    return unknown(wanted, [{ code: wanted.lamp.distanceMm ? "far-from-usual-distance" : "usual-distance-unknown" }]);
  }
  const by = (wanted.film?.baseDensity ?? 0) + input.shareShiftLogH + (change?.shiftLogH ?? 0);
  const extra = rangeSigmas * (change?.sigmaLogH ?? 0);
  const half = {
    below: Math.hypot(prediction.logSeconds - prediction.lower, extra),
    above: Math.hypot(prediction.upper - prediction.logSeconds, extra),
  };
  const estimate = {
    logSeconds: prediction.logSeconds + by,
    lower: prediction.logSeconds + by - half.below,
    upper: prediction.logSeconds + by + half.above,
    sigma: (half.below + half.above) / 2 / rangeSigmas,
    degreesOfFreedom: 1e6,
  };
  const { sharing } = prediction;
  const related = rows
    .filter(
      (row) =>
        row.lampId === wanted.lamp.id || row.supportId === wanted.support.id || row.coatingId === wanted.coating.id,
    )
    .map((row) => row.id);
  const isWide = half.below + half.above > 2 * wideLogH;
  const provenance: Provenance[] = [
    { code: "predicted" },
    { code: "drawn-from", tests: rows.length, sharing },
    ...(sharing.lamp === 0 ? [{ code: "lamp-untested", lampName: wanted.lamp.name } as const] : []),
    ...(change === null
      ? []
      : [{ code: "from-usual-distance", toMm: wanted.distanceMm ?? 0, shiftLogH: change.shiftLogH } as const]),
    { code: "replace-the-guess" },
  ];
  return {
    source: "predicted",
    estimate,
    rest: {
      provenance,
      testIds: related.slice(0, 50),
      warnings: isWide
        ? [{ code: "wide-range", lowerSeconds: 10 ** estimate.lower, upperSeconds: 10 ** estimate.upper }]
        : [],
    },
  };
}
