import { describe, expect, it } from "vitest";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { filmFromPrint } from "#shared/film/film-from-print.ts";
import { negativeAgainstCoating } from "#shared/film/negative-against-coating.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { logistic } from "../../support/studios/synthetic-test.ts";

const density = logistic({ net: 1.5, middle: 2.2, rate: 4.5 });
const random = seededRandom(12);
const curve = fitCharacteristicCurve({
  channel: "red",
  steps: Array.from({ length: 21 }, (_, i) => {
    const logH = 3.4 - 0.15 * i;
    return {
      index: i + 1,
      logH,
      sigmaLogH: 0.005,
      density: density(logH) + 0.004 * random.normal(),
      sigma: 0.004,
      isFlagged: false,
    };
  }),
})!;
// Closed form of the true coating: shoulder at ln(9) / rate above the middle, toe where 1.5 F = 0.04.
const shoulder = 2.2 + Math.log(9) / 4.5;
const toe = 2.2 - Math.log(1.5 / 0.04 - 1) / 4.5;
const range = shoulder - toe;

describe("negativeAgainstCoating", () => {
  const judge = (baseDensity: number, maxDensity: number, seconds?: number) =>
    negativeAgainstCoating({
      curve,
      baseDensity,
      maxDensity,
      targetShare: 0.9,
      ...(seconds === undefined ? {} : { seconds }),
    })!;

  it("when the film spans just the coating's range, suits at the advised time", () => {
    const answer = judge(0.1, 0.1 + range);
    expect(answer.suits).toBe(true);
    expect(answer.coatingRange!).toBeCloseTo(range, 1);
    expect(Math.abs(Math.log2(answer.seconds / 10 ** (shoulder + 0.1)))).toBeLessThan(0.1);
    expect(answer.lightestDensity).toBeLessThan(0.06);
  });
  it("when the black is two stops too thin, veils the highlights by two stops and offers a second film", () => {
    const answer = judge(0.1, 0.1 + range - 2 * Math.log10(2));
    expect(answer.highlightsVeiledStops!).toBeCloseTo(2, 0);
    expect(answer.lightestDensity).toBeCloseTo(density(toe + 2 * Math.log10(2)), 1);
    expect(answer.suits).toBe(false);
    expect(answer.findings.map((each) => each.code)).toContain("two-films");
  });
  it("when one film is less than half of what is needed, does not offer two", () => {
    expect(judge(0.1, 0.1 + range / 3).findings.map((each) => each.code)).not.toContain("two-films");
  });
  it("at twice the advised time, blocks the shadows by one stop", () => {
    const answer = judge(0.1, 2.5, 2 * 10 ** (shoulder + 0.1));
    expect(answer.shadowsBlockedStops).toBeCloseTo(1, 0);
    expect(answer.shadowsWeakStops).toBe(0);
  });
  it("at half the advised time, says that the deepest blue is not reached", () => {
    expect(judge(0.1, 2.5, 0.5 * 10 ** (shoulder + 0.1)).shadowsWeakStops).toBeCloseTo(1, 0);
  });
});

describe("filmFromPrint", () => {
  // An invented film: 0.12 clear, 1.9 at its densest, bent in between.
  const film = (level: number) => 0.12 + 1.78 * (level / 255) ** 1.3;
  const levels = [0, 32, 64, 96, 128, 160, 192, 224, 255];
  const printed = (seconds: number) =>
    levels.map((level) => ({
      level,
      density: density(Math.log10(seconds) - film(level)) + 0.004 * random.normal(),
      sigma: 0.005,
    }));

  it("between toe and shoulder, finds the film's density within a few hundredths and says so", () => {
    const { levels: found } = filmFromPrint({ curve, exposureSeconds: 500, printed: printed(500) });
    const exact = found.filter((entry) => entry.bound === "exact");
    expect(exact.length).toBeGreaterThanOrEqual(6);
    for (const entry of exact) {
      expect(Math.abs(entry.filmDensity - film(entry.level))).toBeLessThan(Math.max(0.03, 3.5 * entry.sigmaDensity!));
      expect(Math.abs(entry.filmDensity - film(entry.level))).toBeLessThan(0.12);
    }
  });
  it("where the print is full blue or white, gives bounds that hold and says so", () => {
    const long = filmFromPrint({ curve, exposureSeconds: 3000, printed: printed(3000) });
    expect(long.baseDensity).toBeNull();
    expect(long.levels[0]!.filmDensity).toBeGreaterThanOrEqual(film(0));
    expect(long.warnings.map((warning) => warning.code)).toContain("film-base-at-full-blue");
    const short = filmFromPrint({ curve, exposureSeconds: 60, printed: printed(60) });
    expect(short.maxDensity).toBeNull();
    expect(short.levels.at(-1)!.filmDensity).toBeLessThanOrEqual(film(255) + 0.02);
    expect(short.warnings.map((warning) => warning.code)).toContain("film-black-at-white");
  });
  it("never lets a darker grey be clearer than a lighter one", () => {
    const jumbled = printed(500).map((entry, i) => ({
      ...entry,
      density: entry.density + (i % 2 === 0 ? 0.05 : -0.05),
    }));
    const { levels: found } = filmFromPrint({ curve, exposureSeconds: 500, printed: jumbled });
    for (let i = 1; i < found.length; i++)
      expect(found[i]!.filmDensity).toBeGreaterThanOrEqual(found[i - 1]!.filmDensity);
  });
});
