// Two tests side by side, one of them read by a camera whose own tone is not known.
import { describe, expect, it } from "vitest";
import { assessTest } from "#shared/advice/assess-test.ts";
import { compareTests, type TestToCompare } from "#shared/lookup/compare-tests.ts";
import { pairInWords } from "#shared/words/tests/comparison-words.ts";
import { logistic, syntheticReading, tablet21, testRequest } from "../../support/studios/synthetic-test.ts";

const named = { id: "one", name: "one" };
const testOf = (id: string, net: number, cameraSigma: number): TestToCompare => {
  const exposureSeconds = 3000;
  const density = logistic({ net, middle: 2.2, rate: 4.5 });
  const reading = syntheticReading({ tablet: tablet21, exposureSeconds, density, noise: () => 0 });
  const request = testRequest({ tablet: tablet21, exposureSeconds });
  return {
    id,
    name: id,
    madeAt: "2026-01-01T12:00:00Z",
    lamp: named,
    support: named,
    coating: named,
    film: null,
    channel: "red",
    filmInTest: false,
    isUnderSun: false,
    hasTime: true,
    curve: assessTest({ request, reading, filmDensity: null }).curve,
    cameraSigma,
    densityScale: "colour",
    isToneUnknown: cameraSigma > 0,
    printSpread: 0.036,
  };
};
const pairOf = (cameraSigma: number) => compareTests([testOf("a", 1.5, 0), testOf("b", 1.3, cameraSigma)]).pairs[0]!;
const width = (range: { lower: number; upper: number } | null) => range!.upper - range!.lower;

describe("comparing a scan with a photo whose tone is not known", () => {
  it("is less sure of the deepest blue and the gradient than comparing two scans, and says why", () => {
    const [scans, photo] = [pairOf(0), pairOf(0.1)];
    expect(scans.dMaxDifference!.upper).toBeLessThan(0);
    expect(photo.dMaxDifference!.upper).toBeGreaterThan(0);
    expect(width(photo.averageGradientDifference)).toBeGreaterThan(width(scans.averageGradientDifference));
    expect(scans.warnings).toEqual([]);
    expect(photo.warnings).toEqual([{ code: "tone-unchecked" }]);
    const [a, b] = [testOf("a", 1.5, 0), testOf("b", 1.3, 0.1)];
    expect(pairInWords(scans, a, b, null).sentence).toContain("its maximum blue is weaker by 0.");
    expect(pairInWords(photo, a, b, null).sentence).toContain("whether its maximum blue differs cannot be told");
  });

  it("knows the times as well: what a camera does to them is in each test's own range", () => {
    expect(pairOf(0.1).timeRatio).toEqual(pairOf(0).timeRatio);
  });
});

describe("comparing an instrument's filter with a picture", () => {
  const [byPicture, byFilter] = [testOf("a", 1.5, 0), { ...testOf("b", 1.3, 0), densityScale: "red filter, status t" }];
  const pair = compareTests([byPicture, byFilter]).pairs[0]!;

  it("tells no difference of depth or gradient, and says why; times it tells", () => {
    expect(pair).toMatchObject({ dMaxDifference: null, dMinDifference: null, averageGradientDifference: null });
    expect(pair.warnings).toEqual([{ code: "scales-differ" }]);
    expect(pair.timeRatio).not.toBeNull();
    const { sentence } = pairInWords(pair, byPicture, byFilter, null);
    expect(sentence).not.toMatch(/maximum blue is (?:weaker|stronger|deeper)/u);
  });

  it("tells all between two tests by the same filter", () => {
    const both = compareTests([{ ...byFilter, id: "c" }, byFilter]).pairs[0]!;
    expect(both.dMaxDifference).not.toBeNull();
    expect(both.warnings).toEqual([]);
  });
});
