// Which tests of a lamp can be held against each other for its distance.
import { describe, expect, it } from "vitest";
import type { TimedTest } from "#shared/lookup/lookup-input.ts";
import { testsAtDistances } from "#shared/lookup/tests-at-distances.ts";

const timed = (changes: Partial<TimedTest>): TimedTest => ({
  id: "t",
  name: "",
  madeAt: "2026-05-01T10:00:00Z",
  lampId: "box",
  supportId: "rag",
  coatingId: "blue",
  filmId: null,
  verdict: "ok",
  shoulderLogH: 2.4,
  sigmaLogH: 0.02,
  degreesOfFreedom: 10,
  filmInTest: false,
  lampDistanceMm: 150,
  lampHours: null,
  isUnderSun: false,
  pictureId: "p",
  tabletKind: "transmission",
  tablet: "of film",
  exposureSeconds: 600,
  tabletSigmaLogH: null,
  boundLogSeconds: null,
  advisedFilmDensity: 0,
  batchId: null,
  humidityPercent: null,
  finish: { acidWash: null, peroxide: null, oxidised: null },
  ...changes,
});

describe("testsAtDistances", () => {
  it("takes the combination with the most tests at known distances, and no other's", () => {
    const tests = [
      timed({ lampDistanceMm: 150, shoulderLogH: 2.4 }),
      timed({ lampDistanceMm: 300, shoulderLogH: 2.9 }),
      timed({ supportId: "cloth", lampDistanceMm: 600, shoulderLogH: 3.6 }),
      timed({ lampDistanceMm: null }),
    ];
    expect(testsAtDistances(tests, "box")).toEqual([
      { distanceMm: 150, logSeconds: 2.4 },
      { distanceMm: 300, logSeconds: 2.9 },
    ]);
    expect(testsAtDistances(tests, "another")).toEqual([]);
  });

  it("leaves out tests that do not reach the deepest blue or are not good", () => {
    const tests = [timed({ shoulderLogH: null }), timed({ verdict: "test-too-short" }), timed({ lampDistanceMm: 200 })];
    expect(testsAtDistances(tests, "box")).toEqual([{ distanceMm: 200, logSeconds: 2.4 }]);
  });

  it("counts the film where it lay over the tablet, and not where it was only named", () => {
    const named = [timed({ filmId: "a" }), timed({ filmId: "b", lampDistanceMm: 300 })];
    expect(testsAtDistances(named, "box")).toHaveLength(2);
    expect(
      testsAtDistances(
        named.map((test) => ({ ...test, filmInTest: true })),
        "box",
      ),
    ).toHaveLength(1);
  });
});
