// Invented tablets of one coating under known light: each got the middle's light, changed by so many stops.
import { describe, expect, it } from "vitest";
import { lightAtTablets, type ReadTablet } from "#shared/evenness/evenness-from-tablets.ts";
import { logistic, syntheticReading, tablet21 } from "../../support/studios/synthetic-test.ts";

const coating = logistic({ net: 1.5, middle: -1.2, rate: 4.5 });

interface Laid {
  readonly x: number;
  readonly y: number;
  readonly stops: number;
}

function laid({ x, y, stops }: Laid, density = coating): ReadTablet {
  const { steps } = syntheticReading({
    tablet: tablet21,
    exposureSeconds: 1,
    density: (logH) => density(logH + stops * Math.log10(2)),
  });
  return { placeOf: () => ({ x, y }), steps };
}

const five: readonly Laid[] = [
  { x: 0.1, y: 0.1, stops: -0.3 },
  { x: 0.9, y: 0.1, stops: -0.5 },
  { x: 0.5, y: 0.5, stops: 0 },
  { x: 0.1, y: 0.9, stops: 0.2 },
  { x: 0.9, y: 0.9, stops: -0.1 },
];
/** The bed's five places drawn towards its middle. */
const drawnIn = (share: number): Laid[] =>
  five.map(({ x, y, stops }) => ({ x: 0.5 + (x - 0.5) * share, y: 0.5 + (y - 0.5) * share, stops }));
const lightOf = (tablets: readonly ReadTablet[]) => lightAtTablets(tablet21, tablets);

describe("lightAtTablets", () => {
  it("tells the light of each place beside the middle's", () => {
    const { places, warnings } = lightOf(five.map((each) => laid(each)));
    expect(places.map(({ x, y }) => [x, y])).toEqual(
      five.map(({ x, y }) => [expect.closeTo(x, 9), expect.closeTo(y, 9)]),
    );
    places.forEach(({ stops }, i) => expect(Math.abs(stops - five[i]!.stops), `tablet ${i + 1}`).toBeLessThan(0.03));
    expect(warnings).toEqual([]);
  });

  it("when the tablet nearest the middle has no good steps, says that it gave no curve, and which it is", () => {
    const tablets = five.map((each, i) =>
      i === 2
        ? { ...laid(each), steps: laid(each).steps.map((step) => ({ ...step, flags: ["left-out"] })) }
        : laid(each),
    );
    expect(() => lightOf(tablets)).toThrow(
      expect.objectContaining({
        code: "evenness-unknown",
        field: "tablets.2.corners",
        trouble: { code: "middle-tablet-without-curve", tablet: 3 },
      }),
    );
  });

  it.each([
    ["full blue", 1.5],
    ["bare paper", 0],
  ])("when one of the others is %s all over, says that it has too few telling steps, and which it is", (_, density) => {
    const tablets = five.map((each, i) => (i === 3 ? laid(each, () => density) : laid(each)));
    expect(() => lightOf(tablets)).toThrow(
      expect.objectContaining({
        code: "evenness-unknown",
        field: "tablets.3.corners",
        trouble: { code: "tablet-without-middle-blue", tablet: 4 },
      }),
    );
  });

  it("when the outermost tablets span half of the bed, warns that its edges are not measured", () => {
    const { warnings } = lightOf(drawnIn(0.625).map((each) => laid(each)));
    expect(warnings).toEqual([
      {
        code: "edges-not-measured",
        widthShare: expect.closeTo(0.5, 2),
        depthShare: expect.closeTo(0.5, 2),
      },
    ]);
  });

  it("when they span three quarters of it, does not warn", () => {
    expect(lightOf(drawnIn(0.94).map((each) => laid(each))).warnings).toEqual([]);
  });
});
