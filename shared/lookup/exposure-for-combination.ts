// The time for a lamp, support, coating and film: from tests of just these, from tests carried over, or from others.
import { rangeSigmas } from "#shared/statistics/normal-distribution.ts";
import type { Verdict } from "#shared/schema/curve.ts";
import type { ExposureSource } from "#shared/schema/exposures.ts";
import type { Coating, Film, Lamp, Support } from "#shared/schema/materials.ts";
import type { Tablet } from "#shared/schema/reading.ts";
import { distanceChange, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { ageingShift, lampAgeing, type LampSpeed } from "#shared/lamp/lamp-ageing.ts";
import {
  isAfter,
  isInScope,
  type ChangeEvent,
  type Circumstances,
  type Observation,
} from "#shared/studio-model/observation.ts";
import type { LogRange } from "#shared/studio-model/mixture.ts";
import { predictTime } from "#shared/studio-model/predict.ts";
import type { StudioFit } from "#shared/studio-model/studio-fit.ts";
import type { ExposureFinding, LookupWarning, NamedTest, Provenance } from "./lookup-facts.ts";
import { ownTests } from "./own-tests.ts";
import { distanceTerm, filmOver, referenceDistanceMm, sameDistanceShare } from "./studio-observations.ts";

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
  /** Content hash of its picture: the same picture is the same print. */
  readonly pictureId: string;
  readonly tabletKind: Tablet["kind"];
  readonly exposureSeconds: number | null;
  /** Share of `sigmaLogH` that all tests of its tablet have in common; null where the fit does not know it. */
  readonly tabletSigmaLogH: number | null;
  /** log10 of the seconds that a test without a time says are too few; null otherwise. */
  readonly boundLogSeconds: number | null;
  /** Film density in that bound. */
  readonly advisedFilmDensity: number;
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

/** What a deeper or lighter share than 90 % adds to log time, from the curves; "not-reached" when none of them gets there. */
export type ShareShift = { readonly shiftLogH: number; readonly sigmaLogH: number } | "not-reached";

export interface ExposureInput {
  readonly wanted: WantedCombination;
  /** Tests of one channel, newest first. */
  readonly tests: readonly TimedTest[];
  /** Those of them, and the prints, that count. */
  readonly fit: StudioFit;
  /** Base density of each film that is known. */
  readonly filmDensities: ReadonlyMap<string, number>;
  readonly shareShift: ShareShift;
  /** When the print is made [ms]. */
  readonly atMs: number;
}

/** A prediction wider than this factor from end to end is no help. */
const widestPredictionLogH = 1.3;
/** Beyond this factor a range deserves a warning. */
const wideLogH = 0.3;

/** A test of the combination, with what lies between it and what is wanted. */
interface CarriedTest {
  readonly test: TimedTest;
  /** What had to be changed; empty for a test of just the wanted conditions. */
  readonly changes: readonly Provenance[];
}

/** Ranges of a combination and of its next print [log10 of seconds]. */
interface Estimate {
  readonly calibration: LogRange;
  readonly nextPrint: LogRange;
}

/**
 * Advice for a combination with where it comes from. Every time is the studio model's; tests of just this combination, tests
 * carried to another film, distance or lamp age, and other combinations differ only in what is said of where it comes from.
 * Valid: one kind of process; a sun test's time only for the sun it was made under.
 */
export function exposureForCombination(input: ExposureInput): ExposureFinding {
  const { wanted, tests, fit, shareShift } = input;
  const counted = new Set(fit.observations.map(({ id }) => id));
  const isSun = wanted.lamp.kind === "sun" || wanted.lamp.kind === "shade";
  const own = tests.filter(
    (test) =>
      test.lampId === wanted.lamp.id && test.supportId === wanted.support.id && test.coatingId === wanted.coating.id,
  );
  const outcomes = own.flatMap((test) => carry(test, input) ?? []);
  const carried = outcomes.flatMap((each) => ("test" in each && (isSun || counted.has(each.test.id)) ? [each] : []));
  const refusals = outcomes.flatMap((each) => ("refusal" in each ? [each.refusal] : []));
  const exact = carried.filter((each) => each.changes.length === 0);
  const used = exact.length > 0 ? exact : carried;
  const warnings = [...wantedWarnings(wanted), ...ageingWarnings(input)];
  const answer = (source: ExposureSource, estimate: Estimate | null, rest: AnswerParts): ExposureFinding => ({
    lampId: wanted.lamp.id,
    supportId: wanted.support.id,
    coatingId: wanted.coating.id,
    filmId: wanted.film?.id ?? null,
    ...secondsOf(estimate, shareShift),
    targetShare: wanted.targetShare,
    filmDensity: wanted.film?.baseDensity ?? 0,
    distanceMm: wanted.distanceMm ?? referenceDistanceMm(wanted.lamp, tests),
    source,
    verdict: rest.verdict ?? null,
    provenance: rest.provenance,
    testIds: rest.testIds,
    warnings: [
      ...warnings,
      ...(rest.warnings ?? []),
      ...(estimate !== null && shareShift === "not-reached"
        ? [{ code: "share-not-reached", share: wanted.targetShare } as const]
        : []),
    ],
  });

  if (used.length > 0) {
    if (isSun) return underTheSun(used, wanted, answer);
    const newestFirst = used.map((each) => each.test);
    const changes = used.flatMap((each) => each.changes);
    const only = used.length === 1 ? used[0] : undefined;
    const source = exact.length === 0 ? "transferred" : only === undefined ? "pooled" : "tested";
    const origin: Provenance =
      only === undefined
        ? { code: "several-tests", tests: newestFirst.map(named) }
        : { code: "one-test", test: named(only.test) };
    const ids = new Set(newestFirst.map(({ id }) => id));
    const agreement = agreementWarnings(
      fit.observations.filter(({ id }) => ids.has(id)),
      tests,
      fit.events.filter((event) => !fit.found.includes(event)),
    );
    return answer(source, predictTime(fit, circumstancesOf(input)), {
      provenance: [origin, ...changes, ...refusals, ...leftOut(own, counted)],
      testIds: newestFirst.map((test) => test.id),
      verdict: source === "tested" ? (only?.test.verdict ?? null) : null,
      warnings: agreement,
    });
  }
  const untold = [...refusals, ...unreached(own)];
  const prediction = predicted(input);
  return answer(prediction.source, prediction.estimate, {
    ...prediction.rest,
    provenance: [...prediction.rest.provenance, ...untold],
  });
}

/** What is asked of the model. */
function circumstancesOf({ wanted, tests, atMs }: ExposureInput): Circumstances {
  const { lamp, support, coating, film } = wanted;
  return {
    lampId: lamp.id,
    supportId: support.id,
    coatingId: coating.id,
    batchId: null,
    film: filmOver(film),
    distance: distanceTerm(lamp, referenceDistanceMm(lamp, tests), wanted.distanceMm),
    lampHours:
      wanted.lampHours ?? tests.find((test) => test.lampId === lamp.id && test.lampHours !== null)?.lampHours ?? null,
    humidityPercent: null,
    atMs,
  };
}

/** The newest test alone: seconds of different suns are not taken together. */
function underTheSun(
  used: readonly CarriedTest[],
  { film }: WantedCombination,
  answer: (source: ExposureSource, estimate: Estimate | null, rest: AnswerParts) => ExposureFinding,
): ExposureFinding {
  const [newest] = used;
  if (newest === undefined) throw new RangeError("underTheSun needs a test.");
  const { test, changes } = newest;
  const time = (test.shoulderLogH ?? 0) + (test.filmInTest ? 0 : (film?.baseDensity ?? 0));
  const half = rangeSigmas * Math.hypot(test.sigmaLogH ?? 0, usualPrintScatter);
  const range = { logSeconds: time, lower: time - half, upper: time + half };
  const next = Math.hypot(half, rangeSigmas * usualPrintScatter);
  return answer(
    changes.length === 0 ? "tested" : "transferred",
    { calibration: range, nextPrint: { logSeconds: time, lower: time - next, upper: time + next } },
    {
      provenance: [
        { code: "one-test", test: named(test) },
        ...changes,
        ...(used.length > 1 ? [{ code: "other-suns", tests: used.length - 1 } as const] : []),
      ],
      testIds: [test.id],
      verdict: test.verdict,
    },
  );
}

/** Scatter from print to print before a studio's own is known [log10]. common practice, no source */
const usualPrintScatter = 0.026;

/** Observations of one combination after the last change that was noted for it. */
function sinceLastChange(own: readonly Observation[], events: readonly ChangeEvent[]): readonly Observation[] {
  return own.filter((each) => events.every((event) => !isInScope(event, each) || isAfter(event, each)));
}

function agreementWarnings(
  own: readonly Observation[],
  tests: readonly TimedTest[],
  events: readonly ChangeEvent[],
): LookupWarning[] {
  const standing = ownTests(sinceLastChange(own, events));
  if (standing === null) return [];
  const odd = standing.oddId === null ? undefined : tests.find(({ id }) => id === standing.oddId);
  if (standing.doDisagree) return [{ code: "tests-disagree", ...(odd === undefined ? {} : { odd: named(odd) }) }];
  if (standing.changedAtMs === null) return [];
  return [{ code: "something-changed", since: new Date(standing.changedAtMs).toISOString() }];
}

/** Tests of the combination that told a time and do not count. */
function leftOut(own: readonly TimedTest[], counted: ReadonlySet<string>): Provenance[] {
  const left = own.filter((test) => test.shoulderLogH !== null && !counted.has(test.id));
  const unreliable = left.filter(({ verdict }) => verdict === "unreliable").map(named);
  const again = left.filter(
    ({ verdict, filmInTest, pictureId, id }) =>
      verdict !== "unreliable" && !filmInTest && own.some((each) => each.pictureId === pictureId && each.id !== id),
  );
  return [
    ...(unreliable.length > 0 ? [{ code: "unreliable-left-out", tests: unreliable } as const] : []),
    ...(again.length > 0 ? [{ code: "same-picture", tests: again.map(named) } as const] : []),
  ];
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
  estimate: Estimate | null,
  shift: ShareShift,
): Pick<ExposureFinding, "seconds" | "lowerSeconds" | "upperSeconds" | "nextPrint"> {
  if (estimate === null) return { seconds: null, lowerSeconds: null, upperSeconds: null, nextPrint: null };
  const { calibration, nextPrint } = estimate;
  // Deeper than any curve goes: the time of the usual share is too short, and more is not known.
  if (shift === "not-reached")
    return { seconds: null, lowerSeconds: 10 ** calibration.logSeconds, upperSeconds: null, nextPrint: null };
  const ends = ({ logSeconds, lower, upper }: LogRange): { lowerSeconds: number; upperSeconds: number } => {
    const extra = rangeSigmas * shift.sigmaLogH;
    const middle = logSeconds + shift.shiftLogH;
    return {
      lowerSeconds: 10 ** (middle - Math.hypot(logSeconds - lower, extra)),
      upperSeconds: 10 ** (middle + Math.hypot(upper - logSeconds, extra)),
    };
  };
  return {
    seconds: 10 ** (calibration.logSeconds + shift.shiftLogH),
    ...ends(calibration),
    nextPrint: ends(nextPrint),
  };
}

/** log H of the bare coating at the shoulder; null when a film of unknown density lay over the test. */
function bareLogH(test: TimedTest, filmDensities: ReadonlyMap<string, number>): number | null {
  if (test.shoulderLogH === null) return null;
  if (!test.filmInTest) return test.shoulderLogH;
  const density = test.filmId === null ? undefined : filmDensities.get(test.filmId);
  return density === undefined ? null : test.shoulderLogH - density;
}

/** What lies between a test of the combination and the wanted conditions, or why it cannot be carried; null without a time. */
function carry(
  test: TimedTest,
  { wanted, tests, filmDensities }: ExposureInput,
): CarriedTest | { readonly refusal: Provenance } | null {
  if (test.shoulderLogH === null || test.sigmaLogH === null) return null;
  const changes: Provenance[] = [];
  const wantedFilmId = wanted.film?.id ?? null;
  if (!(test.filmInTest && test.filmId === wantedFilmId)) {
    if (bareLogH(test, filmDensities) === null) return { refusal: { code: "film-of-test-unknown", test: named(test) } };
    if (test.filmId !== wantedFilmId) changes.push(filmChange(test, wanted));
  }
  const move = distanceMove(test, wanted, tests);
  if (move === "too-far") {
    const fromMm = test.lampDistanceMm ?? wanted.lamp.distanceMm ?? 0;
    return { refusal: { code: "too-far", test: named(test), fromMm, toMm: wanted.distanceMm ?? 0 } };
  }
  if (move === "unknown") return { refusal: { code: "distance-unknown", test: named(test) } };
  if (move !== null) changes.push(move);
  if (wanted.lampHours !== null && test.lampHours !== null && wanted.lampHours !== test.lampHours) {
    const shift = ageingShift(lampSpeeds(tests, wanted.lamp.id), test.lampHours, wanted.lampHours);
    if (shift !== null && Math.abs(shift.shiftLogH) >= 0.002)
      changes.push({
        code: "other-lamp-hours",
        fromHours: test.lampHours,
        toHours: wanted.lampHours,
        shiftLogH: shift.shiftLogH,
      });
  }
  return { test, changes };
}

function filmChange(test: TimedTest, { film }: WantedCombination): Provenance {
  if (film === null) return { code: "for-bare-coating" };
  return {
    code: "for-film",
    filmName: film.name,
    baseDensity: film.baseDensity ?? 0,
    testHadFilm: test.filmId !== null,
  };
}

function distanceMove(
  test: TimedTest,
  wanted: WantedCombination,
  tests: readonly TimedTest[],
): Provenance | "too-far" | "unknown" | null {
  const usual = referenceDistanceMm(wanted.lamp, tests);
  const toMm = wanted.distanceMm ?? usual;
  const fromMm = test.lampDistanceMm ?? wanted.lamp.distanceMm ?? null;
  if (toMm === null || (wanted.distanceMm === null && test.lampDistanceMm === null)) return null;
  if (fromMm === null) return "unknown";
  if (Math.abs(toMm / fromMm - 1) < sameDistanceShare) return null;
  const measuredMm = tests
    .filter((each) => each.lampId === wanted.lamp.id && each.shoulderLogH !== null)
    .flatMap((each) => each.lampDistanceMm ?? []);
  const change = distanceChange({ shape: shapeOfLamp(wanted.lamp), fromMm, toMm, measuredMm });
  if (change === null) return "too-far";
  return { code: "other-distance", fromMm, toMm, basis: change.basis, shiftLogH: change.shiftLogH };
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
  readonly estimate: Estimate | null;
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
  const { wanted, tests, fit } = input;
  if (wanted.lamp.kind === "sun" || wanted.lamp.kind === "shade") return unknown(wanted);
  const measured = fit.observations.filter(({ seen }) => seen.kind === "measured");
  if (measured.length === 0) return unknown(wanted);
  const distance = wantedDistance(input);
  if (distance !== null) return unknown(wanted, [distance]);
  const estimate = predictTime(fit, circumstancesOf(input));
  const { lower, upper } = estimate.calibration;
  if (upper - lower > widestPredictionLogH) return unknown(wanted, [{ code: "tests-share-too-little" }]);
  const shares = {
    lamp: measured.filter(({ lampId }) => lampId === wanted.lamp.id),
    support: measured.filter(({ supportId }) => supportId === wanted.support.id),
    coating: measured.filter(({ coatingId }) => coatingId === wanted.coating.id),
  };
  const related = new Set([...shares.lamp, ...shares.support, ...shares.coating].map(({ id }) => id));
  const move = distanceTerm(wanted.lamp, referenceDistanceMm(wanted.lamp, tests), wanted.distanceMm);
  const { nextPrint } = estimate;
  return {
    source: "predicted",
    estimate,
    rest: {
      provenance: [
        { code: "predicted" },
        {
          code: "drawn-from",
          tests: measured.length,
          sharing: { lamp: shares.lamp.length, support: shares.support.length, coating: shares.coating.length },
        },
        ...(shares.lamp.length === 0 ? [{ code: "lamp-untested", lampName: wanted.lamp.name } as const] : []),
        ...(move === null
          ? []
          : [{ code: "from-usual-distance", toMm: wanted.distanceMm ?? 0, shiftLogH: move.shiftLogH } as const]),
        { code: "replace-the-guess" },
      ],
      testIds: tests
        .filter(({ id }) => related.has(id))
        .map(({ id }) => id)
        .slice(0, 50),
      warnings:
        upper - lower > 2 * wideLogH
          ? [{ code: "wide-range", lowerSeconds: 10 ** nextPrint.lower, upperSeconds: 10 ** nextPrint.upper }]
          : [],
    },
  };
}

/** Why no time is told for the wanted distance; null where one can be. */
function wantedDistance({ wanted, tests }: ExposureInput): Provenance | null {
  if (wanted.distanceMm === null) return null;
  const fromMm = referenceDistanceMm(wanted.lamp, tests);
  if (fromMm === null) return { code: "usual-distance-unknown" };
  const measuredMm = tests
    .filter((each) => each.lampId === wanted.lamp.id)
    .flatMap((each) => each.lampDistanceMm ?? []);
  const change = distanceChange({ shape: shapeOfLamp(wanted.lamp), fromMm, toMm: wanted.distanceMm, measuredMm });
  return change === null ? { code: "far-from-usual-distance" } : null;
}
