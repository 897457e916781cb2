import { describe, expect, it } from "vitest";
import type { ChangeEvent, Observation } from "#shared/studio-model/observation.ts";
import { predictTime, sigmaAfterTest, standingBeside, suspectedChanges } from "#shared/studio-model/predict.ts";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import {
  addContradiction,
  addStudio,
  emptyCoverage,
  streamOf,
  type Contradiction,
} from "../../bench/studio/studio-model-outcome.ts";
import { plainObservation } from "../../support/studios/plain-observation.ts";

const dayMs = 86_400_000;

function test(at: number, logSeconds: number, changes: Partial<Observation> = {}): Observation {
  return plainObservation({
    id: `t${at}`,
    atMs: at * dayMs,
    seen: { kind: "measured", logSeconds, sigma: 0.015 },
    ...changes,
  });
}

const widthOf = ({ lower, upper }: { lower: number; upper: number }): number => upper - lower;

describe("the time of a combination", () => {
  it("when it was tested once, is that test's, with the usual scatter of prints in its range", () => {
    const { calibration, nextPrint } = predictTime(fitStudio([test(0, 2.7)]), test(1, 0));
    expect(calibration.logSeconds).toBeCloseTo(2.7, 2);
    expect(widthOf(calibration)).toBeGreaterThan(2 * 1.96 * 0.015);
    expect(widthOf(nextPrint)).toBeGreaterThan(widthOf(calibration));
  });

  it("when tests agree, narrows with each of them, and never widens from one to two", () => {
    const widths = [1, 2, 4, 8].map((count) =>
      widthOf(
        predictTime(
          fitStudio(Array.from({ length: count }, (_, i) => test(i, 2.7 + (i % 2 ? 0.01 : -0.01)))),
          test(9, 0),
        ).calibration,
      ),
    );
    expect(widths).toEqual([...widths].sort((a, b) => b - a));
  });

  it("when all tests used one tablet, keeps that tablet's error however often they are repeated", () => {
    const tests = Array.from({ length: 30 }, (_, i) => test(i, 2.7, { tablet: { id: "a", sigma: 0.03 } }));
    expect(predictTime(fitStudio(tests), test(40, 0)).sigma).toBeGreaterThan(0.028);
  });

  it("when the lamp's shape is not known, repeating at one distance does not tell another", () => {
    const near = { shiftLogH: 0, sigmaLogH: 0 };
    const far = { shiftLogH: 0.3, sigmaLogH: 0.15 };
    const tests = Array.from({ length: 12 }, (_, i) => test(i, 2.7, { distance: near }));
    expect(predictTime(fitStudio(tests), test(40, 0, { distance: far })).sigma).toBeGreaterThan(0.14);
    const both = [...tests, test(20, 3.1, { distance: far })];
    expect(predictTime(fitStudio(both), test(40, 0, { distance: far })).sigma).toBeLessThan(0.06);
  });

  it("when everything takes k times as long, answers k times as long", () => {
    const tests = [2.5, 2.52, 2.49].map((time, i) => test(i, time));
    const longer = tests.map((each, i) => test(i, [2.5, 2.52, 2.49][i]! + 0.1, { id: each.id }));
    const [a, b] = [tests, longer].map((each) => predictTime(fitStudio(each), test(9, 0)).calibration.logSeconds);
    // The usual level draws both a little towards itself.
    expect(b! - a!).toBeCloseTo(0.1, 2);
  });

  it("when only its parts were tested, is their sum, less sure", () => {
    const tests = [
      test(0, 2.7),
      test(1, 2.85, { supportId: "cotton" }),
      test(2, 3.1, { lampId: "old" }),
      test(3, 2.71),
    ];
    const fit = fitStudio(tests);
    const untested = predictTime(fit, test(9, 0, { lampId: "old", supportId: "cotton" }));
    expect(untested.calibration.lower).toBeLessThan(3.25);
    expect(untested.calibration.upper).toBeGreaterThan(3.25);
    expect(untested.sigma).toBeGreaterThan(1.5 * predictTime(fit, test(9, 0)).sigma);
  });
});

describe("prints that were judged by eye", () => {
  const judged = (at: number, logSeconds: number, outcome: "too-light" | "right" | "too-dark"): Observation =>
    test(at, 0, {
      id: `p${at}`,
      seen: {
        kind: "between",
        lower: outcome === "too-dark" ? null : logSeconds + (outcome === "too-light" ? 0.1 : -0.1),
        upper: outcome === "too-light" ? null : logSeconds - (outcome === "too-dark" ? 0.1 : -0.1),
        sigma: 0.05,
      },
    });

  it("when they came out right, make an untested combination's time surer", () => {
    const other = [test(0, 2.7, { supportId: "cotton" }), test(1, 2.72, { supportId: "cotton" })];
    const before = predictTime(fitStudio(other), test(9, 0));
    const after = predictTime(fitStudio([...other, judged(2, 2.75, "right"), judged(3, 2.75, "right")]), test(9, 0));
    expect(after.sigma).toBeLessThan(0.8 * before.sigma);
    expect(after.calibration.logSeconds).toBeGreaterThan(before.calibration.logSeconds);
  });

  it("when they came out too light, lengthen it; too dark, shorten it", () => {
    const tests = [test(0, 2.7)];
    const [light, plain, dark] = [
      [judged(1, 2.7, "too-light"), judged(2, 2.7, "too-light")],
      [],
      [judged(1, 2.7, "too-dark"), judged(2, 2.7, "too-dark")],
    ].map((prints) => predictTime(fitStudio([...tests, ...prints]), test(9, 0)).calibration.logSeconds);
    expect(light).toBeGreaterThan(plain!);
    expect(dark).toBeLessThan(plain!);
  });
});

describe("changes", () => {
  it("when new tubes are noted, counts the tests before them for little", () => {
    const tests = [...Array.from({ length: 6 }, (_, i) => test(i, 2.7 + (i % 2 ? 0.01 : -0.01))), test(10, 2.85)];
    const tubes: ChangeEvent = {
      id: "e",
      scope: "lamp",
      scopeId: "box",
      atMs: 8 * dayMs,
      spread: 0.15,
      isNewLight: true,
    };
    const after = predictTime(fitStudio(tests, [tubes]), test(11, 0));
    expect(Math.abs(after.calibration.logSeconds - 2.85)).toBeLessThan(0.02);
  });

  it("when nobody noted one, finds it from three tests and holds to the new ones", () => {
    const tests = [
      ...Array.from({ length: 6 }, (_, i) => test(i, 2.7 + 0.02 * Math.sin(i * 2))),
      ...[10, 11, 12].map((at) => test(at, 2.85 + 0.02 * Math.sin(at))),
    ];
    const fit = fitStudio(tests);
    expect(fit.found.length + (suspectedChanges(fit)[0]?.share ?? 0)).toBeGreaterThan(0.5);
    expect(Math.abs(predictTime(fit, test(13, 0)).calibration.logSeconds - 2.85)).toBeLessThan(0.03);
  });

  it("when the newest test lies far off, says how unlikely that is", () => {
    const before = fitStudio(Array.from({ length: 6 }, (_, i) => test(i, 2.7 + (i % 2 ? 0.01 : -0.01))));
    const far = standingBeside(before, test(7, 2.9));
    const near = standingBeside(before, test(7, 2.71));
    expect(far!.chance).toBeLessThan(0.004);
    expect(far!.differenceLogH).toBeCloseTo(0.2, 2);
    expect(near!.chance).toBeGreaterThan(0.3);
  });
});

describe("the next test", () => {
  it("tells most where it is made of the combination itself, and something where it shares a part", () => {
    const fit = fitStudio([test(0, 2.7), test(1, 2.9, { lampId: "old" }), test(2, 2.8, { supportId: "cotton" })]);
    const wanted = test(9, 0, { lampId: "old", supportId: "cotton" });
    const now = predictTime(fit, wanted).sigma;
    const own = sigmaAfterTest(fit, wanted, wanted, 0.02);
    const related = sigmaAfterTest(fit, wanted, test(9, 0, { lampId: "old" }), 0.02);
    const unrelated = sigmaAfterTest(fit, wanted, test(9, 0, { lampId: "x", supportId: "y", coatingId: "z" }), 0.02);
    expect(own).toBeLessThan(related);
    expect(related).toBeLessThan(unrelated);
    expect(unrelated).toBeLessThanOrEqual(now + 1e-6);
  });
});

describe("invented studios, a few of the bench's", () => {
  it("holds the truth in about 95 of 100 ranges", () => {
    const sums = emptyCoverage();
    for (let seed = 1; seed <= 12; seed++)
      addStudio(
        {
          seed,
          printScatter: [0.01, 0.02, 0.03, 0.05][seed % 4]!,
          tails: seed % 2 ? "normal" : "heavy",
          interaction: 0.06,
          strangeness: "none",
          lampChange: 0,
          badBatch: false,
          tests: 8 + 4 * seed,
        },
        sums,
      );
    // Two standard deviations of a share of 95 % among so many, with combinations of one studio in step.
    for (const { n, held } of [sums.tested, sums.untested, sums.nextPrint]) {
      expect(n).toBeGreaterThan(80);
      expect(held / n).toBeGreaterThan(0.88);
    }
    expect(sums.nextPrint.held / sums.nextPrint.n).toBeLessThan(1);
  });

  it("when one combination contradicts itself, leaves the ranges of those that agree as they were", () => {
    const sums: Contradiction = { widening: [], tested: emptyCoverage().tested, untested: emptyCoverage().untested };
    for (let seed = 31; seed <= 36; seed++)
      addContradiction(
        {
          seed,
          printScatter: [0.01, 0.02, 0.03, 0.05][seed % 4]!,
          tails: "normal",
          interaction: 0.04,
          strangeness: "none",
          lampChange: 0,
          badBatch: false,
          tests: 14 + 3 * (seed - 31),
        },
        3.5,
        sums,
      );
    const sorted = [...sums.widening].sort((a: number, b: number) => a - b);
    expect(sorted.length).toBeGreaterThan(40);
    expect(sorted[Math.floor(0.9 * sorted.length)]).toBeLessThan(1.1);
    expect(sums.tested.held / sums.tested.n).toBeGreaterThan(0.88);
  });

  it("when half a stop changes at a scatter of 0.02, comes within 0.15 stop from two tests in most", () => {
    const streams = Array.from({ length: 20 }, (_, i) =>
      streamOf({
        seed: i + 1,
        printScatter: 0.02,
        tests: 8,
        changeAt: 7,
        change: i % 2 ? 0.15 : -0.15,
        from: 8,
        timedAt: 8,
      }),
    );
    const near = streams.filter(({ error }) => Math.abs(error) < 0.15 * Math.log10(2));
    expect(near.length).toBeGreaterThanOrEqual(16);
  });
});
