// The time for a lamp, support, coating and film: from tests of just these, from tests carried over, or from others.
import { rangeSigmas } from "#shared/statistics/normal-range.ts";
import type { Verdict } from "#shared/schema/curve.ts";
import type { ExposureAnswer, ExposureSource } from "#shared/schema/exposures.ts";
import type { Coating, Film, Lamp, Support } from "#shared/schema/materials.ts";
import type { Warning } from "#shared/schema/reading.ts";
import { distanceChange, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { ageingShift, lampAgeing, type LampSpeed } from "#shared/lamp/lamp-ageing.ts";
import { plainTime } from "#shared/units/plain-time.ts";
import { predictLogSpeed, type LogSpeedTest } from "./additive-log-speed.ts";
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
  /** What had to be changed, in plain words; empty for a test of just the wanted conditions. */
  readonly changes: readonly string[];
}

/**
 * Advice for a combination with where it comes from.
 * Tests of just this combination come first; then such tests carried to another film, distance or lamp age; then the
 * additive model over all tests; else nothing is said but which test to make.
 * Valid: one kind of process; a sun test's time only for the sun it was made under.
 */
export function exposureForCombination(input: ExposureInput): ExposureAnswer {
  const { wanted, tests } = input;
  const warnings: Warning[] = [];
  const notes: string[] = [];
  const filmDensity = wanted.film?.baseDensity ?? null;
  if (wanted.film !== null && filmDensity === null) {
    warnings.push({
      code: "film-base-missing",
      message: `The base density of "${wanted.film.name}" is not known, so its share of the time is missing. Clear film often costs 1.1 to 1.6 times as long: enter it under films.`,
    });
  }
  if (wanted.lamp.kind === "sun" || wanted.lamp.kind === "shade") {
    warnings.push({
      code: "sun-changes",
      message:
        "The sun's strength changes with hour, season and sky: this time holds only for a sun like that of the test. The sun planner carries it to another day and hour.",
    });
  }
  const own = tests.filter(
    (test) =>
      test.lampId === wanted.lamp.id && test.supportId === wanted.support.id && test.coatingId === wanted.coating.id,
  );
  const carried = own.flatMap((test) => carry(test, input, notes) ?? []);
  const exact = carried.filter((each) => each.changes.length === 0);
  const used = exact.length > 0 ? exact : carried;
  warnings.push(...ageingWarnings(input));
  const answer = (
    source: ExposureSource,
    estimate: LogSecondsEstimate | null,
    rest: { provenance: string[]; testIds: string[]; verdict?: Verdict | null },
  ): ExposureAnswer => ({
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
    provenance: [...rest.provenance, ...notes],
    testIds: rest.testIds,
    warnings,
  });

  if (used.length > 0) {
    const { estimate, doTestsDisagree } = poolLogSeconds(used);
    if (doTestsDisagree)
      warnings.push({
        code: "tests-disagree",
        message:
          "The tests of this combination differ by more than their own ranges and the usual scatter of prints allow: something changed between them (bottle, distance, humidity, lamp). The range holds their scatter; repeat the test that looks odd.",
      });
    const byWeight = [...used].sort((a, b) => a.sigma - b.sigma).map((each) => each.test);
    const changes = [...new Set(used.flatMap((each) => each.changes))];
    const only = used.length === 1 ? used[0] : undefined;
    const source = exact.length === 0 ? "transferred" : only === undefined ? "pooled" : "tested";
    const origin =
      only === undefined
        ? `From ${used.length} tests of this lamp, support and coating, taken together: ${labelsOf(byWeight)}.`
        : `From the test ${labelOf(only.test)}, made with this lamp, support and coating. Its range is about that print: how much the next one differs shows only when the test is repeated.`;
    return answer(source, shifted(estimate, input.shareShiftLogH), {
      provenance: [origin, ...changes],
      testIds: byWeight.map((test) => test.id),
      verdict: source === "tested" ? (only?.test.verdict ?? null) : null,
    });
  }
  if (own.length > 0) notes.push(...unreachedNotes(own));
  return predicted(input, { answer, warnings });
}

/** Tests named in one sentence; the answer's `testIds` has them all. */
const mostNamed = 5;

function labelsOf(tests: readonly TimedTest[]): string {
  const named = tests.slice(0, mostNamed).map(labelOf).join("; ");
  return tests.length > mostNamed ? `${named}; and ${tests.length - mostNamed} more` : named;
}

function labelOf(test: TimedTest): string {
  const date = test.madeAt.slice(0, 10);
  return test.name === "" ? `of ${date}` : `"${test.name}" of ${date}`;
}

function secondsOf(
  estimate: LogSecondsEstimate | null,
): Pick<ExposureAnswer, "seconds" | "lowerSeconds" | "upperSeconds"> {
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

/** Carries one test of the combination to the wanted conditions; null where that is not possible, and a note says why. */
function carry(test: TimedTest, { wanted, tests, filmDensities }: ExposureInput, notes: string[]): CarriedTest | null {
  if (test.shoulderLogH === null || test.sigmaLogH === null) return null;
  const changes: string[] = [];
  const wantedFilmId = wanted.film?.id ?? null;
  let logSeconds: number;
  if (test.filmInTest && test.filmId === wantedFilmId) logSeconds = test.shoulderLogH;
  else {
    const bare = bareLogH(test, filmDensities);
    if (bare === null) {
      notes.push(
        `The test ${labelOf(test)} was made through a film whose base density is not known, so it says nothing about another film: enter that density.`,
      );
      return null;
    }
    logSeconds = bare + (wanted.film?.baseDensity ?? 0);
    if (test.filmId !== wantedFilmId) {
      changes.push(
        wanted.film === null
          ? "Reckoned for bare coating, without the film of the test."
          : `Reckoned for the film "${wanted.film.name}" by its base density of ${(wanted.film.baseDensity ?? 0).toFixed(2)}; the test had ${test.filmId === null ? "no film" : "another film"}.`,
      );
    }
  }
  let variance = test.sigmaLogH ** 2;
  const move = carryDistance(test, wanted, tests);
  if (move === "too-far") {
    notes.push(
      `The test ${labelOf(test)} was made at ${Math.round(test.lampDistanceMm ?? wanted.lamp.distanceMm ?? 0)} mm: ${Math.round(wanted.distanceMm ?? 0)} mm is beyond twice (or below half of) the distances tested, so no time is drawn from it. Make a test at the new distance.`,
    );
    return null;
  }
  if (move === "unknown") {
    notes.push(
      `The distance of the test ${labelOf(test)} is not known, so it cannot be carried to another: enter it with the test or the lamp.`,
    );
    return null;
  }
  if (move !== null) {
    logSeconds += move.shiftLogH;
    variance += move.sigmaLogH ** 2;
    changes.push(move.words);
  }
  const age = carryAge(test, wanted, tests);
  if (age !== null) {
    logSeconds += age.shiftLogH;
    variance += age.sigmaLogH ** 2;
    changes.push(age.words);
  }
  return { test, changes, ...estimateFrom(logSeconds, Math.sqrt(variance), test.degreesOfFreedom ?? 1) };
}

function estimateFrom(logSeconds: number, sigma: number, degreesOfFreedom: number): LogSecondsEstimate {
  return poolLogSeconds([{ logSeconds, sigma, degreesOfFreedom, lower: 0, upper: 0 }]).estimate;
}

type Move = { readonly shiftLogH: number; readonly sigmaLogH: number; readonly words: string };

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
  const how =
    change.basis === "shape"
      ? "by the lamp's size and shape"
      : "without knowing the lamp's size, which leaves a wide range: enter its width and height";
  return {
    ...change,
    words: `Carried from ${Math.round(fromMm)} mm to ${Math.round(toMm)} mm ${how}: ${factorWords(change.shiftLogH)}.`,
  };
}

function carryAge(test: TimedTest, wanted: WantedCombination, tests: readonly TimedTest[]): Move | null {
  if (wanted.lampHours === null || test.lampHours === null || wanted.lampHours === test.lampHours) return null;
  const shift = ageingShift(lampSpeeds(tests, wanted.lamp.id), test.lampHours, wanted.lampHours);
  if (shift === null || Math.abs(shift.shiftLogH) < 0.002) return null;
  return {
    ...shift,
    words: `Carried from ${Math.round(test.lampHours)} to ${Math.round(wanted.lampHours)} lamp hours by the lamp's trend: ${factorWords(shift.shiftLogH)}.`,
  };
}

function factorWords(shiftLogH: number): string {
  const factor = 10 ** Math.abs(shiftLogH);
  return shiftLogH >= 0 ? `${factor.toFixed(2)} times as long` : `shorter by a factor of ${factor.toFixed(2)}`;
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

function ageingWarnings({ wanted, tests }: ExposureInput): Warning[] {
  const { lamp, lampHours } = wanted;
  if (lamp.kind === "sun" || lamp.kind === "shade") return [];
  const ageing = lampAgeing(lampSpeeds(tests, lamp.id), lampHours ?? undefined);
  return ageing.shouldRetest ? [{ code: "re-test-lamp", message: ageing.reason }] : [];
}

function unreachedNotes(own: readonly TimedTest[]): string[] {
  const latest = [...own]
    .filter((test) => test.shoulderLogH === null)
    .sort((a, b) => b.madeAt.localeCompare(a.madeAt))[0];
  if (latest === undefined) return [];
  const why =
    latest.verdict === "test-too-short"
      ? "was too short"
      : latest.verdict === "test-too-long"
        ? "was too long"
        : "gave no reliable time";
  return [`The test ${labelOf(latest)} of just this combination ${why}; its page says how to repeat it.`];
}

interface PredictionTools {
  readonly answer: (
    source: ExposureSource,
    estimate: LogSecondsEstimate | null,
    rest: { provenance: string[]; testIds: string[] },
  ) => ExposureAnswer;
  readonly warnings: Warning[];
}

function predicted(input: ExposureInput, { answer, warnings }: PredictionTools): ExposureAnswer {
  const { wanted, tests, filmDensities } = input;
  const makeTest = `Not known yet: make one test of ${wanted.coating.name} on ${wanted.support.name} under ${wanted.lamp.name}.`;
  if (wanted.lamp.kind === "sun" || wanted.lamp.kind === "shade")
    return answer("unknown", null, { provenance: [makeTest], testIds: [] });
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
    return answer("unknown", null, {
      provenance: [
        makeTest,
        ...(prediction === null ? [] : ["The tests that there are share too little with it to say more."]),
      ],
      testIds: [],
    });
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
    return answer("unknown", null, {
      provenance: [
        makeTest,
        wanted.lamp.distanceMm
          ? "The distance asked for is too far from the lamp's usual one to reckon."
          : "Enter the lamp's usual distance and size, so that another can be reckoned.",
      ],
      testIds: [],
    });
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
  if (half.below + half.above > 2 * wideLogH)
    warnings.push({
      code: "wide-range",
      message: `The range is wide, ${plainTime(10 ** estimate.lower)} to ${plainTime(10 ** estimate.upper)}: use it to choose the time of a first test, not of a print.`,
    });
  const { sharing } = prediction;
  const related = rows
    .filter(
      (row) =>
        row.lampId === wanted.lamp.id || row.supportId === wanted.support.id || row.coatingId === wanted.coating.id,
    )
    .map((row) => row.id);
  return answer("predicted", estimate, {
    provenance: [
      "Predicted, not tested: no test was made of just this combination.",
      `Drawn from ${rows.length} test${rows.length === 1 ? "" : "s"} of other combinations, of which ${sharing.lamp} share the lamp, ${sharing.support} the support and ${sharing.coating} the coating.`,
      ...(sharing.lamp === 0
        ? [`Nothing was tested under ${wanted.lamp.name} yet, and lamps differ most of all.`]
        : []),
      ...(change === null
        ? []
        : [
            `Carried to ${Math.round(wanted.distanceMm ?? 0)} mm from the lamp's usual distance: ${factorWords(change.shiftLogH)}.`,
          ]),
      "One test of it replaces this guess.",
    ],
    testIds: related.slice(0, 50),
  });
}
