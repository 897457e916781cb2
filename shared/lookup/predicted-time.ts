// The time of a combination that nobody tested, drawn from all others; or what to test where they tell too little.
import { isDaylight } from "#shared/lamp/daylight.ts";
import { distanceChange, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { predictTime } from "#shared/studio-model/predict.ts";
import type { Answer } from "./lookup-answer.ts";
import type { Provenance } from "./lookup-facts.ts";
import type { ExposureInput, WantedCombination } from "./lookup-input.ts";
import { circumstancesOf, distanceTerm, referenceDistanceMm } from "./studio-observations.ts";

/** A prediction wider than this factor from end to end is no help. */
const widestPredictionLogH = 1.3;
/** Beyond this factor a range deserves a warning. */
const wideLogH = 0.3;
/** Related tests that an answer names. */
const mostRelated = 50;

/** What is said where nothing can be drawn from any test: which one to make, and why. */
function unknown({ coating, support, lamp }: WantedCombination, why: readonly Provenance[] = []): Answer {
  const makeTest: Provenance = {
    code: "make-a-test",
    coatingName: coating.name,
    supportName: support.name,
    lampName: lamp.name,
  };
  return {
    source: "unknown",
    estimate: null,
    provenance: [makeTest, ...why],
    testIds: [],
    verdict: null,
    warnings: [],
  };
}

/** The model's time for a combination without a test of its own. */
export function predictedTime(input: ExposureInput): Answer {
  const { wanted, tests, fit } = input;
  if (isDaylight(wanted.lamp.kind)) return unknown(wanted);
  const measured = fit.observations.filter(({ seen }) => seen.kind === "measured");
  if (measured.length === 0) return unknown(wanted);
  const distance = wantedDistance(input);
  if (distance !== null) return unknown(wanted, [distance]);
  const estimate = predictTime(fit, circumstancesOf(input));
  const { nextPrint, calibration } = estimate;
  if (calibration.upper - calibration.lower > widestPredictionLogH)
    return unknown(wanted, [{ code: "tests-share-too-little" }]);
  const shares = {
    lamp: measured.filter(({ lampId }) => lampId === wanted.lamp.id),
    support: measured.filter(({ supportId }) => supportId === wanted.support.id),
    coating: measured.filter(({ coatingId }) => coatingId === wanted.coating.id),
  };
  const related = new Set([...shares.lamp, ...shares.support, ...shares.coating].map(({ id }) => id));
  const isWide = calibration.upper - calibration.lower > 2 * wideLogH;
  return {
    source: "predicted",
    estimate,
    provenance: [
      { code: "predicted" },
      {
        code: "drawn-from",
        tests: measured.length,
        sharing: { lamp: shares.lamp.length, support: shares.support.length, coating: shares.coating.length },
      },
      ...(shares.lamp.length === 0 ? [{ code: "lamp-untested", lampName: wanted.lamp.name } as const] : []),
      ...fromUsualDistance(input),
      { code: "replace-the-guess" },
    ],
    testIds: tests
      .filter(({ id }) => related.has(id))
      .map(({ id }) => id)
      .slice(0, mostRelated),
    verdict: null,
    warnings: isWide
      ? [{ code: "wide-range", lowerSeconds: 10 ** nextPrint.lower, upperSeconds: 10 ** nextPrint.upper }]
      : [],
  };
}

function fromUsualDistance({ wanted, tests }: ExposureInput): Provenance[] {
  const { lamp, distanceMm } = wanted;
  const move = distanceTerm(lamp, referenceDistanceMm(lamp, tests), distanceMm);
  return move === null ? [] : [{ code: "from-usual-distance", toMm: distanceMm ?? 0, shiftLogH: move.shiftLogH }];
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
