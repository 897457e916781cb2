import { describe, expect, it } from "vitest";
import { distanceChange, shapeOfLamp } from "#shared/lamp/distance-change.ts";
import { ageingShift, lampAgeing } from "#shared/lamp/lamp-ageing.ts";
import { reciprocityExponent } from "#shared/lamp/reciprocity.ts";
import { seededRandom } from "#shared/statistics/random.ts";

describe("another distance", () => {
  const panel = shapeOfLamp({ kind: "led", widthMm: 600, heightMm: 600 });

  it("under a large panel costs far less than the inverse square says", () => {
    // 60 x 60 panel from 15 to 20: 0.8310285 to 0.7352026, a loss of 11.5 % (reference table), not 44 %.
    const change = distanceChange({ shape: panel, fromMm: 150, toMm: 200, measuredMm: [150] });
    expect(change?.shiftLogH).toBeCloseTo(Math.log10(0.8310285 / 0.7352026), 6);
  });

  it("under a point, quadruples the time at twice the distance", () => {
    const change = distanceChange({ shape: { kind: "point" }, fromMm: 300, toMm: 600, measuredMm: [300] });
    expect(change?.shiftLogH).toBeCloseTo(Math.log10(4), 12);
  });

  it.each([
    [399.9, true],
    [400.1, false],
    [100.1, true],
    [99.9, false],
  ])("at %f mm from tests at 200 mm: answered %s", (toMm, isAnswered) => {
    expect(distanceChange({ shape: panel, fromMm: 200, toMm, measuredMm: [200] }) !== null).toBe(isAnswered);
  });

  it("reaches further where tests at other distances were made", () => {
    expect(distanceChange({ shape: panel, fromMm: 200, toMm: 700, measuredMm: [200, 400] })).not.toBeNull();
  });

  it("under a lamp of unknown shape, holds every shape in its range", () => {
    const unknown = distanceChange({ shape: null, fromMm: 200, toMm: 350, measuredMm: [] })!;
    for (const shape of [
      panel!,
      { kind: "point" } as const,
      { kind: "tubes", count: 8, pitchMm: 50, lengthMm: 600 } as const,
    ]) {
      const { shiftLogH } = distanceChange({ shape, fromMm: 200, toMm: 350, measuredMm: [] })!;
      expect(Math.abs(shiftLogH - unknown.shiftLogH)).toBeLessThanOrEqual(1.961 * unknown.sigmaLogH);
    }
  });

  it("knows a lamp's shape by what was filled in, and the sky has none", () => {
    expect(shapeOfLamp({ kind: "tubes", widthMm: 400, heightMm: 600, tubeCount: 8 })).toEqual({
      kind: "tubes",
      count: 8,
      pitchMm: 50,
      lengthMm: 600,
    });
    expect(shapeOfLamp({ kind: "tubes", widthMm: 400, heightMm: 600 })?.kind).toBe("panel");
    expect(shapeOfLamp({ kind: "led", widthMm: 100 })).toEqual({ kind: "disk", radiusMm: 50 });
    expect(shapeOfLamp({ kind: "led" })).toBeNull();
    expect(shapeOfLamp({ kind: "sun", widthMm: 5, heightMm: 5 })).toBeNull();
  });
});

describe("an ageing lamp", () => {
  const steady = (perHundred: number, wildAt: number | null = null) =>
    Array.from({ length: 12 }, (_, i) => ({
      hours: i * 60,
      logSpeed: -2.5 + (perHundred * i * 60) / 100 + (i === wildAt ? 0.5 : 0),
    }));

  it("shows its loss in 100 hours, whatever one wild test says", () => {
    const ageing = lampAgeing(steady(-0.02, 4));
    expect(ageing.slopePer100Hours).toBeCloseTo(-0.02, 3);
    expect(ageing.shouldRetest).toBe(false);
  });

  it.each([
    [100, false],
    [101, true],
  ])("after %i hours without a test: test again %s", (hoursSince, expected) => {
    expect(lampAgeing(steady(-0.001), 11 * 60 + hoursSince).shouldRetest).toBe(expected);
    expect(lampAgeing([{ hours: 660, logSpeed: -2 }], 660 + hoursSince).shouldRetest).toBe(expected);
  });

  it("asks for a test sooner where the trend is steep", () => {
    const ageing = lampAgeing(steady(-0.1), 11 * 60 + 80);
    expect(ageing).toMatchObject({ shouldRetest: true, finding: { code: "changed-since-test" } });
  });

  it("says when the latest test breaks with the trend", () => {
    const speeds = [...steady(-0.005), { hours: 700, logSpeed: -2.5 - 0.035 - 0.2 }];
    expect(lampAgeing(speeds)).toMatchObject({ shouldRetest: true, finding: { code: "off-its-trend" } });
  });

  it("carries a time to a later hour, but not beyond twice the span tested", () => {
    const shift = ageingShift(steady(-0.02), 660, 760);
    expect(shift?.shiftLogH).toBeCloseTo(0.02, 10);
    expect(ageingShift(steady(-0.02), 660, 1321)).toBeNull();
    expect(ageingShift(steady(-0.02).slice(0, 3), 0, 100)).toBeNull();
  });
});

describe("reciprocity", () => {
  it.each([1, 0.9, 1.05])("when the coating has the exponent %f, finds it", (p) => {
    const tests = [0, -0.2, -0.5, -0.8].map((logIrradiance) => ({ logIrradiance, logSeconds: 2 - logIrradiance / p }));
    expect(reciprocityExponent(tests)?.exponent).toBeCloseTo(p, 10);
  });

  it("holds the truth in its range 19 times in 20", () => {
    const random = seededRandom(7);
    let held = 0;
    for (let n = 0; n < 400; n++) {
      const tests = [0, 0, -0.3, -0.5, -0.8].map((logIrradiance) => ({
        logIrradiance,
        logSeconds: 2 - logIrradiance / 0.95 + 0.04 * random.normal(),
      }));
      const { lower, upper } = reciprocityExponent(tests)!;
      if ((lower ?? 0) <= 0.95 && 0.95 <= (upper ?? Infinity)) held++;
    }
    expect(held / 400).toBeGreaterThan(0.92);
    expect(held / 400).toBeLessThan(0.98);
  });

  it("when the light hardly changed, says nothing", () => {
    expect(
      reciprocityExponent([
        { logIrradiance: 0, logSeconds: 2 },
        { logIrradiance: -0.29, logSeconds: 2.3 },
      ]),
    ).toBeNull();
    expect(reciprocityExponent([{ logIrradiance: 0, logSeconds: 2 }])).toBeNull();
  });
});
