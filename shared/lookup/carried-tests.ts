// Tests of a combination carried to the film, distance and lamp age that are wanted.
import { distanceChange, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { ageingShift } from "#shared/lamp/lamp-ageing.ts";
import { lampSpeeds } from "./lamp-speeds.ts";
import { namedTest, type Provenance } from "./lookup-facts.ts";
import type { ExposureInput, TimedTest, WantedCombination } from "./lookup-input.ts";
import { referenceDistanceMm, sameDistanceShare } from "./studio-observations.ts";

/** A test of the combination, with what lies between it and what is wanted. */
export interface CarriedTest {
  readonly test: TimedTest;
  /** What had to be changed; empty for a test of just the wanted conditions. */
  readonly changes: readonly Provenance[];
}

/** What a test would have to be changed by, or why it cannot be carried; empty where it stands as wanted. */
type Step = { readonly changes: readonly Provenance[] } | { readonly refusal: Provenance };

const noChange: Step = { changes: [] };

/**
 * What lies between a test of the combination and the wanted conditions, or why it cannot be carried; null without a
 * time.
 */
export function carry(test: TimedTest, input: ExposureInput): CarriedTest | { readonly refusal: Provenance } | null {
  if (test.shoulderLogH === null || test.sigmaLogH === null) return null;
  const changes: Provenance[] = [];
  for (const step of [toFilm, toDistance, toLampHours]) {
    const outcome = step(test, input);
    if ("refusal" in outcome) return outcome;
    changes.push(...outcome.changes);
  }
  return { test, changes };
}

function toFilm(test: TimedTest, { wanted, knownFilmIds }: ExposureInput): Step {
  if (test.filmInTest && test.filmId === (wanted.film?.id ?? null)) return noChange;
  if (test.filmInTest && !knownFilmIds.has(test.filmId ?? ""))
    return { refusal: { code: "film-of-test-unknown", test: namedTest(test) } };
  return test.filmId === (wanted.film?.id ?? null) ? noChange : { changes: [filmChange(test, wanted)] };
}

function toDistance(test: TimedTest, { wanted, tests }: ExposureInput): Step {
  const move = distanceMove(test, wanted, tests);
  if (move === null) return noChange;
  if (move === "unknown") return { refusal: { code: "distance-unknown", test: namedTest(test) } };
  if (move !== "too-far") return { changes: [move] };
  const fromMm = test.lampDistanceMm ?? wanted.lamp.distanceMm ?? 0;
  return { refusal: { code: "too-far", test: namedTest(test), fromMm, toMm: wanted.distanceMm ?? 0 } };
}

/** Shifts smaller than this change no time that anybody sets [log10]. */
const leastShiftLogH = 0.002;

function toLampHours({ lampHours: fromHours }: TimedTest, { wanted, tests }: ExposureInput): Step {
  const { lampHours: toHours, lamp } = wanted;
  if (fromHours === null || toHours === null || fromHours === toHours) return noChange;
  const shift = ageingShift(lampSpeeds(tests, lamp.id), fromHours, toHours);
  if (shift === null || Math.abs(shift.shiftLogH) < leastShiftLogH) return noChange;
  return { changes: [{ code: "other-lamp-hours", fromHours, toHours, shiftLogH: shift.shiftLogH }] };
}

function filmChange(test: TimedTest, { film }: WantedCombination): Provenance {
  if (film === null) return { code: "for-bare-coating" };
  return {
    code: "for-film",
    filmName: film.name,
    baseDensity: film.baseDensity ?? 0,
    basis: film.basis,
    testHadFilm: test.filmId !== null,
  };
}

function distanceMove(
  test: TimedTest,
  wanted: WantedCombination,
  tests: readonly TimedTest[],
): Provenance | "too-far" | "unknown" | null {
  if (wanted.distanceMm === null && test.lampDistanceMm === null) return null;
  const toMm = wanted.distanceMm ?? referenceDistanceMm(wanted.lamp, tests);
  if (toMm === null) return null;
  const fromMm = test.lampDistanceMm ?? wanted.lamp.distanceMm ?? null;
  if (fromMm === null) return "unknown";
  if (Math.abs(toMm / fromMm - 1) < sameDistanceShare) return null;
  const measuredMm = tests
    .filter((each) => each.lampId === wanted.lamp.id && each.shoulderLogH !== null)
    .flatMap((each) => each.lampDistanceMm ?? []);
  const change = distanceChange({ shape: shapeOfLamp(wanted.lamp), fromMm, toMm, measuredMm });
  if (change === null) return "too-far";
  return { code: "other-distance", fromMm, toMm, basis: change.basis, shiftLogH: change.shiftLogH };
}
