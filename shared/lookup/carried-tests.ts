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

/** log H of the bare coating at the shoulder; null when a film of unknown density lay over the test. */
function bareLogH(test: TimedTest, filmDensities: ReadonlyMap<string, number>): number | null {
  if (test.shoulderLogH === null) return null;
  if (!test.filmInTest) return test.shoulderLogH;
  const density = test.filmId === null ? undefined : filmDensities.get(test.filmId);
  return density === undefined ? null : test.shoulderLogH - density;
}

/**
 * What lies between a test of the combination and the wanted conditions, or why it cannot be carried; null without a
 * time.
 */
export function carry(
  test: TimedTest,
  { wanted, tests, filmDensities }: ExposureInput,
): CarriedTest | { readonly refusal: Provenance } | null {
  if (test.shoulderLogH === null || test.sigmaLogH === null) return null;
  const changes: Provenance[] = [];
  const wantedFilmId = wanted.film?.id ?? null;
  if (!(test.filmInTest && test.filmId === wantedFilmId)) {
    if (bareLogH(test, filmDensities) === null)
      return { refusal: { code: "film-of-test-unknown", test: namedTest(test) } };
    if (test.filmId !== wantedFilmId) changes.push(filmChange(test, wanted));
  }
  const move = distanceMove(test, wanted, tests);
  if (move === "too-far") {
    const fromMm = test.lampDistanceMm ?? wanted.lamp.distanceMm ?? 0;
    return { refusal: { code: "too-far", test: namedTest(test), fromMm, toMm: wanted.distanceMm ?? 0 } };
  }
  if (move === "unknown") return { refusal: { code: "distance-unknown", test: namedTest(test) } };
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
