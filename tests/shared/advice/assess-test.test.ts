import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import type { AdviceWithReasons } from "#shared/advice/advice-facts.ts";
import type { Tablet } from "#shared/schema/reading.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { logistic, syntheticReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";

// True shoulder of this coating: log H = middle + ln(9) / rate.
const coating = logistic({ net: 1.5, middle: 2.2, rate: 4.5 });
const shoulderSeconds = 10 ** (2.2 + Math.log(9) / 4.5);

const noisy = (seed: number) => {
  const random = seededRandom(seed);
  return () => 0.008 * random.normal();
};
const assess = (exposureSeconds: number, seed = 1, density = coating, filmDensity: number | null = 0.1) =>
  assessTest({
    request: testRequest({ tablet: tablet21, exposureSeconds, filmId: "film" }),
    reading: syntheticReading({ tablet: tablet21, exposureSeconds, density, noise: noisy(seed) }),
    filmDensity,
  });

const codesOf = ({ reasons }: AdviceWithReasons) => reasons.map((reason) => reason.code);

describe("assessTest", () => {
  it("for a good test, gives the time through the film with a range around it", () => {
    const { curve, exposure } = assess(1200);
    expect(exposure.verdict).toBe("ok");
    expect(exposure.nextTestSeconds).toBeNull();
    expect(exposure.filmDensity).toBe(0.1);
    const truth = shoulderSeconds * 10 ** 0.1;
    expect(Math.abs(Math.log2(exposure.seconds! / truth))).toBeLessThan(0.16);
    expect(exposure.lowerSeconds!).toBeLessThan(truth);
    expect(exposure.upperSeconds!).toBeGreaterThan(truth);
    expect(curve!.points.shoulder!.logH).toBeCloseTo(Math.log10(exposure.seconds!) - 0.1, 9);
    expect(exposure.reasons[0]).toMatchObject({ code: "time", targetShare: 0.9, isThroughFilm: true });
  });

  it("when the coating is said to be even, gives a narrower range, and a wider one when said to be uneven", () => {
    const half = (coatingGradientShare: number | undefined) => {
      const request = testRequest({
        tablet: tablet21,
        exposureSeconds: 1200,
        ...(coatingGradientShare === undefined ? {} : { coatingGradientShare }),
      });
      const reading = syntheticReading({ tablet: tablet21, exposureSeconds: 1200, density: coating, noise: noisy(3) });
      const { exposure } = assessTest({ request, reading, filmDensity: null });
      return Math.log2(exposure.upperSeconds! / exposure.lowerSeconds!) / 2;
    };
    expect(half(0)).toBeLessThan(half(undefined));
    expect(half(0.04)).toBeGreaterThan(half(undefined));
  });

  it("when the film already lay over the tablet, does not count its base twice", () => {
    const request = testRequest({ tablet: tablet21, exposureSeconds: 1200, filmId: "film" });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds: 1200, density: coating, noise: noisy(1) });
    const alone = assessTest({ request, reading, filmDensity: 0.1 }).exposure;
    const within = assessTest({ request: { ...request, filmInTest: true }, reading, filmDensity: 0.1 }).exposure;
    expect(alone.seconds! / within.seconds!).toBeCloseTo(10 ** 0.1, 9);
  });

  it("when the film's base is not known, says so and gives the time for bare coating", () => {
    const { exposure, warnings } = assess(1200, 1, coating, null);
    expect(exposure.filmDensity).toBe(0);
    expect(warnings.map((warning) => warning.code)).toContain("film-base-missing");
  });

  it.each([40, 90, 200, 300])(
    "when a test of %i s ends before the shoulder, gives no time but a next test that catches it",
    (seconds) => {
      const { exposure } = assess(seconds, 2);
      expect(exposure.verdict).toBe("test-too-short");
      expect(exposure.seconds).toBeNull();
      expect(exposure.lowerSeconds!).toBeLessThanOrEqual(shoulderSeconds * 10 ** 0.1 * 1.05);
      expect(exposure.nextTestSeconds!).toBeGreaterThan(seconds);
      expect(assess(exposure.nextTestSeconds!, 3).exposure.verdict).toBe("ok");
    },
  );

  it("after a test far too short, gives a likely next one and a surer longer one, and calls its guess one", () => {
    const { exposure } = assess(100, 2);
    const [first, sure] = exposure.nextTests!;
    expect(exposure.nextTestSeconds).toBe(first!.seconds);
    expect(first!.chance).toBeGreaterThan(0.6);
    expect(sure!.seconds).toBeGreaterThan(first!.seconds);
    expect(sure!.chance).toBeGreaterThan(first!.chance);
    expect(codesOf(exposure)).toEqual(expect.arrayContaining(["guess", "next-test", "sure-test"]));
    expect(assess(sure!.seconds, 3).exposure.verdict).toBe("ok");
  });

  it("after a long test, asks for no first try of more than an hour or twice as long", () => {
    const slow = logistic({ net: 1.5, middle: 4.2, rate: 4.5 });
    const first = (seconds: number) => assess(seconds, 2, slow).exposure.nextTestSeconds!;
    expect(first(1500)).toBeLessThanOrEqual(3600);
    expect(first(6000)).toBeLessThanOrEqual(12_000);
  });

  it("when the strip is blank, asks for a much longer test and for a look at the coated side", () => {
    const { exposure } = assess(5, 2);
    expect(exposure.verdict).toBe("test-too-short");
    expect(exposure.nextTestSeconds!).toBeGreaterThanOrEqual(50);
    // Mostly something else is wrong: ten times as long is asked at most, and an hour of the lamp at most.
    expect(exposure.nextTestSeconds!).toBeLessThanOrEqual(50);
    const flat = () => 0.01;
    expect(assess(600, 2, flat).exposure.nextTestSeconds!).toBeLessThanOrEqual(3600);
    expect(codesOf(exposure)).toContain("hardly-any-blue");
  });

  it("when every step is past the shoulder, gives no time but a shorter next test that catches it", () => {
    const seconds = 1e6;
    const short = { kind: "transmission", steps: 11, increment: 0.15, firstDensity: 0.05 } as const;
    const run = (exposureSeconds: number) =>
      assessTest({
        request: testRequest({ tablet: short, exposureSeconds: Math.min(exposureSeconds, 864_000) }),
        reading: syntheticReading({ tablet: short, exposureSeconds, density: coating, noise: noisy(4) }),
        filmDensity: null,
      }).exposure;
    const first = run(seconds / 10);
    expect(first.verdict).toBe("test-too-long");
    expect(first.seconds).toBeNull();
    expect(first.upperSeconds!).toBeGreaterThan(shoulderSeconds * 0.9);
    expect(first.nextTestSeconds!).toBeLessThan(seconds / 10);
  });

  it("when the shoulder falls, leaves the fall out, says so and still tells the time", () => {
    const falling = (logH: number) => coating(logH) - Math.max(0, logH - 3.1) * 0.5;
    const { curve, exposure, warnings } = assess(10_000, 5, falling);
    expect(exposure.verdict).toBe("reversal");
    expect(warnings.map((warning) => warning.code)).toContain("reversal");
    expect(curve!.steps.filter((step) => step.leftOut === "reversal").length).toBeGreaterThanOrEqual(3);
    // The maximum of the falling curve is its value at log H 3.1, so its shoulder comes a little earlier than the
    // logistic's.
    const share = (0.9 * coating(3.1)) / 1.5;
    const truth = 10 ** (2.2 + Math.log(share / (1 - share)) / 4.5 + 0.1);
    expect(Math.abs(Math.log2(exposure.seconds! / truth))).toBeLessThan(0.2);
    expect(exposure.nextTestSeconds!).toBeLessThan(10_000);
  });

  it("when one step is wild, leaves it out by name and keeps the time", () => {
    const request = testRequest({ tablet: tablet21, exposureSeconds: 1800 });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds: 1800, density: coating, noise: noisy(6) });
    const spoiled = {
      ...reading,
      steps: reading.steps.map((step) => (step.index === 5 ? { ...step, red: step.red - 0.5 } : step)),
    };
    const clean = assessTest({ request, reading, filmDensity: null });
    const wild = assessTest({ request, reading: spoiled, filmDensity: null });
    expect(wild.curve!.steps.filter((step) => step.leftOut === "wild").map((step) => step.index)).toEqual([5]);
    expect(Math.abs(Math.log2(wild.exposure.seconds! / clean.exposure.seconds!))).toBeLessThan(0.06);
  });

  it("when two neighbours miss on one side, takes them for the coating's shape and leaves none out", () => {
    const dip = (logH: number) => coating(logH) - 0.15 * Math.exp(-(((logH - 2.08) / 0.1) ** 2));
    const { curve } = assess(1800, 7, dip);
    expect(curve!.steps.filter((step) => step.leftOut === "wild")).toEqual([]);
  });

  it("when the last steps still climb, tells no time, whatever a fit would make of them", () => {
    // Densities as read from a strip whose coating went on to 1.45: a shape fitted to them alone ends near 1.
    const densities = [0.93, 0.82, 0.68, 0.55, 0.41, 0.29, 0.2, 0.13, 0.09, 0.05, 0.03];
    const tablet = { kind: "transmission", steps: 11, increment: 0.15, firstDensity: 0.05 } as const;
    const { exposure } = assessTest({
      request: testRequest({ tablet, exposureSeconds: 200 }),
      reading: syntheticReading({
        tablet,
        exposureSeconds: 200,
        density: (logH) => densities[Math.round((Math.log10(200) - 0.05 - logH) / 0.15)]!,
      }),
      filmDensity: null,
    });
    expect(exposure.verdict).toBe("test-too-short");
    expect(exposure.seconds).toBeNull();
    expect(exposure.nextPrint).toBeNull();
  });

  it("when the last steps are flat to their noise, finds the shoulder", () => {
    const densities = [1.38, 1.38, 1.37, 1.33, 1.24, 1.08, 0.86, 0.62, 0.41, 0.25, 0.15, 0.09, 0.05, 0.03, 0.02];
    const tablet = { kind: "transmission", steps: 15, increment: 0.15, firstDensity: 0.05 } as const;
    const { exposure } = assessTest({
      request: testRequest({ tablet, exposureSeconds: 900 }),
      reading: syntheticReading({
        tablet,
        exposureSeconds: 900,
        density: (logH) => densities[Math.round((Math.log10(900) - 0.05 - logH) / 0.15)]!,
      }),
      filmDensity: null,
    });
    // 90 % of 1.38 is 1.24, the fifth step: 0.6 of density less than the clear film's 900 s at 0.05.
    expect(exposure.verdict).toBe("ok");
    expect(Math.abs(Math.log10(exposure.seconds!) - (Math.log10(900) - 0.65))).toBeLessThan(0.04);
  });

  it("gives what its ranges are made of: the squares of the parts sum to those of the ranges", () => {
    const { exposure } = assess(1800);
    const half = (upper: number) => Math.log2(upper / exposure.seconds!);
    const squares = (skip: string) =>
      exposure.budget!.filter(({ source }) => source !== skip).reduce((sum, { stops }) => sum + stops ** 2, 0);
    expect(Math.sqrt(squares("print-to-print"))).toBeCloseTo(half(exposure.upperSeconds!), 3);
    expect(Math.sqrt(squares("none"))).toBeCloseTo(half(exposure.nextPrint!.upperSeconds), 3);
    expect(exposure.budget!.map(({ source }) => source)).toEqual(
      expect.arrayContaining(["steps", "tablet-scale-and-base", "coating-gradient", "film-base", "print-to-print"]),
    );
  });

  it("when the tablet was measured in the light of the test, is surer than with its label alone", () => {
    const label = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 } as const;
    const width = (tablet: Tablet) => {
      const { exposure } = assessTest({
        request: testRequest({ tablet, exposureSeconds: 1800 }),
        reading: syntheticReading({ tablet: tablet21, exposureSeconds: 1800, density: coating, noise: noisy(1) }),
        filmDensity: null,
      });
      return exposure.upperSeconds! / exposure.lowerSeconds!;
    };
    expect(width({ ...label, scaleSigmaShare: 0.005, baseSigmaDensity: 0.005 })).toBeLessThan(width(label));
  });

  it("with too few good steps, gives no curve and says what to do", () => {
    const request = testRequest({ tablet: tablet21, exposureSeconds: 1200 });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds: 1200, density: coating });
    const flagged = {
      ...reading,
      steps: reading.steps.map((step) => (step.index > 4 ? { ...step, flags: ["left-out"] } : step)),
    };
    const { curve, exposure } = assessTest({ request, reading: flagged, filmDensity: null });
    expect(curve).toBeNull();
    expect(exposure).toMatchObject({ verdict: "unreliable", seconds: null });
  });

  it("when the film's densest black is known, holds it against the coating", () => {
    const request = testRequest({ tablet: tablet21, exposureSeconds: 1200, filmId: "film" });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds: 1200, density: coating, noise: noisy(1) });
    const thin = assessTest({ request, reading, filmDensity: 0.1, filmMaxDensity: 0.7 });
    expect(thin.warnings).toContainEqual({
      code: "negative-too-thin",
      findings: expect.arrayContaining([expect.objectContaining({ code: "highlights-veiled" })]),
    });
    const dense = assessTest({ request, reading, filmDensity: 0.1, filmMaxDensity: 2 });
    expect(dense.warnings.map((warning) => warning.code)).not.toContain("negative-too-thin");
    expect(dense.exposure.reasons.length).toBeGreaterThan(1);
  });

  it("when the strip is read from the wrong end, says so instead of telling a time", () => {
    const request = testRequest({ tablet: tablet21, exposureSeconds: 1200 });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds: 1200, density: coating });
    const turned = {
      ...reading,
      steps: reading.steps.map((step, i) => ({ ...step, red: reading.steps[20 - i]!.red })),
    };
    const { exposure, warnings } = assessTest({ request, reading: turned, filmDensity: null });
    expect(exposure).toMatchObject({ verdict: "unreliable", seconds: null });
    expect(warnings.map((warning) => warning.code)).toContain("strip-reversed");
  });

  it("when the reading says already that the strip is reversed, does not say it again in other words", () => {
    const request = testRequest({ tablet: tablet21, exposureSeconds: 1200 });
    const reading = syntheticReading({ tablet: tablet21, exposureSeconds: 1200, density: coating });
    const turned = {
      ...reading,
      steps: reading.steps.map((step, i) => ({ ...step, red: reading.steps[20 - i]!.red })),
      warnings: [{ code: "strip-reversed", message: "The corners are turned round." }],
    };
    const { exposure, warnings } = assessTest({ request, reading: turned, filmDensity: null });
    expect(exposure).toMatchObject({ verdict: "unreliable", seconds: null });
    expect(warnings.map((warning) => warning.code)).not.toContain("strip-reversed");
  });

  it("whatever the densities, answers with finite numbers or null and never throws", () => {
    const random = seededRandom(77);
    const shapes: readonly ((i: number) => number)[] = [
      () => 0,
      () => 1.4,
      () => 3 * random.uniform(),
      (i) => (i === 3 ? 2 : 0),
      (i) => (i % 2 === 0 ? 0 : 1.5),
      (i) => (i < 10 ? 1.5 : 0),
      (i) => -0.2 + 0.01 * i,
      (i) => 1.2 - 0.06 * i,
      (i) => Math.exp(-((i - 10) ** 2) / 8),
      (i) => 1.5 * 10 ** (-0.15 * i),
    ];
    for (const [k, shape] of shapes.entries()) {
      for (const sigma of [0, 0.02]) {
        const request = testRequest({ tablet: tablet21, exposureSeconds: 600 });
        const base = syntheticReading({ tablet: tablet21, exposureSeconds: 600, density: () => 0, sigma });
        const reading = { ...base, steps: base.steps.map((step, i) => ({ ...step, red: shape(i) })) };
        const { curve, exposure } = assessTest({ request, reading, filmDensity: 0.1 });
        for (const value of [exposure.seconds, exposure.lowerSeconds, exposure.upperSeconds, exposure.nextTestSeconds])
          expect(value === null || (Number.isFinite(value) && value > 0), `shape ${k}, sigma ${sigma}`).toBe(true);
        expect(JSON.stringify(curve) ?? "").not.toMatch(
          /null,"(density|lower|upper)"|"(density|lower|upper|dMin|dMax)":null/,
        );
      }
    }
  });
});
