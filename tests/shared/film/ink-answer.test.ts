import { describe, expect, it } from "vitest";
import { inkAnswer, type PrintedInk } from "#shared/film/ink-answer.ts";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";

// An invented coating: D = 1.4 / (1 + exp(-6 (log H - 2))), exposed 600 s; a film whose density rises evenly with ink.
const blue = (logH: number): number => 1.4 / (1 + Math.exp(-6 * (logH - 2)));
const seconds = 600;
const ramp = (ink: string, fullDensity: number, sigma = 0.004): PrintedInk[] =>
  Array.from({ length: 11 }, (_, i) => {
    const density = blue(Math.log10(seconds) - 0.1 - (fullDensity * i) / 10);
    return { ink, amount: i / 10, density, sigma, inCurve: { density, sigma } };
  });
/** Film density under which the print is 0.015, as white as looks alike: solved from the coating. */
const whiteFilm = Math.log10(seconds) - (2 - Math.log(1.4 / 0.015 - 1) / 6);

const fitted = fitCharacteristicCurve({
  channel: "red",
  steps: Array.from({ length: 21 }, (_, index) => {
    const logH = Math.log10(seconds) - 0.05 - 0.1 * index;
    return { index: index + 1, logH, sigmaLogH: 0, density: blue(logH), sigma: 0.004, isFlagged: false };
  }),
});

if (fitted === null) throw new Error("the invented coating gives no curve");
const curve = fitted;

describe("inkAnswer", () => {
  it("tells the least amount that keeps the paper white, with a range that holds it", () => {
    const { inks, finding } = inkAnswer({ printed: ramp("black", 2.4), paperSigma: 0.002, through: null });
    const truth = (whiteFilm - 0.1) / 2.4;
    const white = inks[0]?.whiteFrom;
    expect(Math.abs((white?.likely ?? 0) - truth)).toBeLessThan(0.02);
    expect(white?.lower).toBeLessThan(truth);
    expect(white?.upper).toBeGreaterThan(truth);
    expect(finding).toMatchObject({ code: "ink-enough", ink: "black" });
  });

  it("puts the ink first that needs least for the same white", () => {
    const printed = [...ramp("black", 1.2), ...ramp("green", 2.6), ...ramp("red", 2)];
    const { inks } = inkAnswer({ printed, paperSigma: 0.002, through: null });
    expect(inks.map(({ ink }) => ink)).toEqual(["green", "red", "black"]);
    expect(inks[2]?.whiteFrom).toBeNull();
  });

  it("with a curve, gives the film's ultraviolet densities and how much is short", () => {
    const { inks, finding } = inkAnswer({
      printed: ramp("black", 0.9),
      paperSigma: 0.002,
      through: { curve, exposureSeconds: seconds },
    });
    for (const { amount, filmDensity, bound } of inks[0]?.film ?? [])
      if (bound === "exact") expect(Math.abs(filmDensity - (0.1 + 0.9 * amount))).toBeLessThan(0.03);
    expect(finding.code).toBe("ink-short");
    const short = finding.code === "ink-short" ? finding.shortDensity : null;
    // The toe lies where the coating is 0.04 above paper (ISO 6846); the film holds back 1.0.
    const toe = 2 - Math.log(1.4 / 0.04 - 1) / 6;
    expect(Math.abs((short ?? 0) - (Math.log10(seconds) - toe - 1))).toBeLessThan(0.08);
  });

  it("where all of an ink is hardly white, says just enough; without bare paper, nothing of white", () => {
    const printed = ramp("black", whiteFilm - 0.1 + 0.01, 0.012);
    expect(inkAnswer({ printed, paperSigma: 0.006, through: null }).finding.code).toBe("ink-just-enough");
    const unseen = inkAnswer({ printed, paperSigma: null, through: null });
    expect(unseen.finding.code).toBe("paper-unseen");
    expect(unseen.inks[0]?.whiteFrom).toBeNull();
  });
});
