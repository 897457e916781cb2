import { describe, expect, it } from "vitest";
import { inverseHomography, homographyFromCorners, mapPoint } from "#shared/reading/corners/homography.ts";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { refinedStrip } from "#src/imaging/find/refined/refine-strip.ts";
import { straightEnd, type ToneLine } from "#src/imaging/find/refined/tone-ends.ts";
import { smoothed, type Field } from "#src/imaging/find/smoothed-field.ts";
import { isInStrip, stripField } from "../../support/pictures/strip-field.ts";

const corners: Corners = [
  [80, 70],
  [520, 95],
  [515, 160],
  [78, 140],
];
const steps = 11;
/** Blueness (log10) of eleven steps from dark to pale, invented. */
const tones = [1.2, 1.19, 1.16, 1.08, 0.92, 0.7, 0.47, 0.28, 0.14, 0.06, 0.02];

/** A strip in coating of its darkest tone, whose brushed edge wanders; paper beyond. */
const brushed = ({ isBlueRound }: { readonly isBlueRound: boolean }): Field =>
  stripField({
    size: [600, 240],
    corners,
    seed: 7,
    grain: (random) => 0.004 * (random.uniform() - 0.5),
    smoothings: 2,
    toneAt: (u, v) => {
      if (isInStrip(u, v)) return tones[Math.min(steps - 1, Math.floor(u * steps))]!;
      const beyond = Math.max(-u * 6, (u - 1) * 6, -v, v - 1);
      const brush = 0.25 + 0.18 * Math.sin(31 * u + 4 * v) + 0.1 * Math.sin(77 * u);
      return isBlueRound && beyond < brush ? 1.21 : 0;
    },
  });

function misplacedShare(found: Corners): number {
  const length = Math.hypot(corners[1][0] - corners[0][0], corners[1][1] - corners[0][1]);
  return Math.max(...found.map(([x, y], i) => Math.hypot(x - corners[i]![0], y - corners[i]![1]))) / length;
}

describe("a strip fitted as a whole", () => {
  const off = (by: readonly (readonly [number, number])[]): Corners => {
    const [a, b, c, d] = corners.map(([x, y], i): PointPx => [x + by[i]![0], y + by[i]![1]]);
    return [a!, b!, c!, d!];
  };
  it.each([
    [
      "in torn coating, found too high",
      true,
      [
        [4, -12],
        [3, -9],
        [5, 8],
        [6, 10],
      ],
    ],
    [
      "in torn coating, found too low",
      true,
      [
        [-5, 10],
        [4, 12],
        [-4, -9],
        [5, -8],
      ],
    ],
    [
      "on bare paper, found a quarter of a step along",
      false,
      [
        [10, 2],
        [10, 3],
        [9, -3],
        [11, 4],
      ],
    ],
  ] as const)("%s, comes to lie within one per cent of its length", (_where, isBlueRound, by) => {
    const refined = refinedStrip(brushed({ isBlueRound }), off(by), steps);
    expect(misplacedShare(refined!.corners)).toBeLessThan(0.01);
  });

  it("found one step further along, is counted again", () => {
    const along: PointPx = [40, 2.3];
    const refined = refinedStrip(brushed({ isBlueRound: true }), off([along, along, along, along]), steps);
    expect(misplacedShare(refined!.corners)).toBeLessThan(0.01);
  });

  it("shows an end beside paper, and none where what surrounds it goes on from either end like its steps", () => {
    expect(refinedStrip(brushed({ isBlueRound: false }), corners, steps)!.isEndSeen).toBe(true);
    const toStrip = inverseHomography(homographyFromCorners(corners));
    const goingOn = Float32Array.from({ length: 600 * 240 }, (_, i) => {
      const [u, v] = mapPoint(toStrip, (i % 600) + 0.5, Math.floor(i / 600) + 0.5);
      return v < 0 || v > 1 ? 0 : tones[Math.min(steps - 1, Math.max(0, Math.floor(u * steps)))]!;
    });
    const field = smoothed({ width: 600, height: 240, values: goingOn }, 2);
    expect(refinedStrip(field, corners, steps)!.isEndSeen).toBe(false);
  });

  it("of which nothing is there, is none", () => {
    const paper: Field = { width: 600, height: 240, values: new Float32Array(600 * 240) };
    expect(refinedStrip(paper, corners, steps)).toBeNull();
  });
});

describe("where tones end on a straight line", () => {
  const line = (endsAt: number, along: number): ToneLine => ({
    along,
    tone: 1,
    scatter: 0.001,
    values: Float64Array.from({ length: 60 }, (_, i) => (i * 0.5 < endsAt ? 1 : 0)),
  });
  const reading = { innerPx: 10, everyPx: 0.5, noise: 0.001 };
  const wishes = { mostTurnPx: 4, windowPx: 1.25 };

  it("when a third of the lines go on to a wandering brush edge, finds the line of the others", () => {
    // Ends between the samples at 12.5 and 13, 10 px inside which the lines begin.
    const lines = Array.from({ length: 30 }, (_, i) => line(i % 3 === 0 ? 20 + 5 * Math.sin(i) : 13, i / 29));
    const end = straightEnd(lines, reading, wishes)!;
    for (const { outPx } of end.ends) expect(outPx).toBeCloseTo(2.75, 1);
    expect(end.share).toBeGreaterThan(0.6);
  });

  it("when no tone ends, finds none", () => {
    expect(straightEnd([line(99, 0), line(99, 0.5), line(99, 1)], reading, wishes)).toBeNull();
  });
});
