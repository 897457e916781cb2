import { describe, expect, it } from "vitest";
import type { ChangeEvent, Observation } from "#shared/studio-model/observation.ts";
import { predictTime, sigmaAfterTest } from "#shared/studio-model/predict.ts";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import { chanceOfChangeSince, changeOdds, testRecords } from "#shared/studio-model/unnoted-changes.ts";
import { plainObservation } from "../../support/studios/plain-observation.ts";

const dayMs = 86_400_000;
const test = (at: number, lampId: string): Observation =>
  plainObservation({
    id: `t${at}`,
    atMs: at * dayMs,
    lampId,
    seen: { kind: "measured", logSeconds: 2.7 + 0.01 * (at % 2), sigma: 0.015 },
  });
/** Five tests of one box, then so many of another. */
const passedOver = (others: number): Observation[] => [
  ...Array.from({ length: 5 }, (_, at) => test(at, "box")),
  ...Array.from({ length: others }, (_, at) => test(at + 5, "other")),
];
const chance = (observations: readonly Observation[], lampId: string, changes: readonly ChangeEvent[] = []): number =>
  chanceOfChangeSince(testRecords(observations), test(30, lampId), changes);
const change: ChangeEvent = {
  id: "c",
  scope: "lamp",
  scopeId: "box",
  atMs: 3 * dayMs,
  spread: 0.15,
  isNewLight: false,
};

describe("chance that something changed since it was tested", () => {
  it("is none for what was tested last, and for what was never tested", () => {
    expect(chance(passedOver(0), "box")).toBe(0);
    expect(chance(passedOver(4), "other")).toBe(0);
    const stranger = plainObservation({ ...test(30, "third"), supportId: "cotton", coatingId: "new" });
    expect(chanceOfChangeSince(testRecords(passedOver(4)), stranger, [])).toBe(0);
  });

  it("grows with the studio's other tests, and is greater for a lamp that changed before", () => {
    const [few, many] = [chance(passedOver(3), "box"), chance(passedOver(15), "box")];
    expect(few).toBeGreaterThan(0.02);
    expect(many).toBeGreaterThan(1.5 * few);
    expect(many).toBeLessThan(0.5);
    expect(chance(passedOver(15), "box", [change])).toBeGreaterThan(1.5 * many);
  });

  it("at one gap of many is smaller than at one of few", () => {
    expect(changeOdds("lamp", 40)).toBeLessThan(changeOdds("lamp", 4) / 2);
  });

  it("is what the gamma distribution of the rate says: the mean of 1 - exp(-rate times gaps) over it", () => {
    // One change in 16 tests, then 4 gaps: rates with density 20 exp(-20 r); 5 * 15 / 20 gaps were missed.
    const missed = (15 * 5) / 20;
    let mean = 0;
    const step = 1e-4;
    for (let rate = step / 2; rate < 3; rate += step)
      mean += (1 - Math.exp(-rate * missed)) * 20 * Math.exp(-20 * rate) * step;
    expect(chance(passedOver(15), "box")).toBeCloseTo(mean, 3);
  });
});

describe("the time of a lamp that was passed over", () => {
  it("has a wider range than if it had been tested last, and a test of it narrows that", () => {
    const of = test(30, "box");
    const [last, before] = [fitStudio(passedOver(0)), fitStudio(passedOver(15))];
    const width = (fit: typeof last): number => {
      const { lower, upper } = predictTime(fit, of).calibration;
      return upper - lower;
    };
    expect(width(before)).toBeGreaterThan(1.1 * width(last));
    expect(sigmaAfterTest(before, of, of, 0.015)).toBeLessThan(0.75 * predictTime(before, of).sigma);
  });
});
