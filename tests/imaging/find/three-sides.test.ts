// A strip of which an end and both long edges stand out, while most of its steps look alike.
import { describe, expect, it } from "vitest";
import type { Corners, PointPx } from "#shared/schema/reading.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import { edgeSegments } from "#src/imaging/find/edge-segments.ts";
import { smoothed, type Field } from "#src/imaging/find/smoothed-field.ts";
import { stripsByThreeSides } from "#src/imaging/find/three-sides.ts";
import { isInStrip, stripField } from "../../support/pictures/strip-field.ts";

const steps = 31;
/** Dark end first, as a tilted camera sees it. */
const corners: Corners = [
  [90, 80],
  [640, 110],
  [630, 200],
  [86, 150],
];
/** Blueness of invented steps: eight of them differ, all others are as dark or as pale as can be. */
const toneOf = (step: number): number => 0.9 * Math.min(1, Math.max(0, (19 - step) / 9));

/** @param surround what lies round the strip: coating as dark as its first steps, or paper */
const drawn = (surround: number): Field =>
  stripField({
    size: [720, 280],
    corners,
    seed: 11,
    grain: (random) => 0.02 * random.normal(),
    smoothings: 2,
    toneAt: (u, v) => (isInStrip(u, v) ? toneOf(Math.floor(u * steps)) : surround),
  });

/** The greatest distance of a corner from where it lies, share of the strip's length. */
const apart = (found: Corners): number =>
  Math.max(...found.map(([x, y]: PointPx, i) => Math.hypot(x - corners[i]![0], y - corners[i]![1]))) / 550;

describe("a strip seen by three sides", () => {
  it.each([
    ["its pale end, in coating as dark as its dark one", 0.9],
    ["its dark end, on paper as pale as its pale one", 0],
  ])("%s, is placed by them and by the few boundaries that are seen", (_which, surround) => {
    const field = drawn(surround);
    const places = stripsByThreeSides(field, edgeSegments(field), steps);
    expect(Math.min(...places.map(apart))).toBeLessThan(0.03);
  });

  it("is not supposed where nothing has an end", () => {
    const random = seededRandom(5);
    const values = Float32Array.from({ length: 300 * 200 }, () => 0.02 * random.normal());
    const field = smoothed({ width: 300, height: 200, values }, 2);
    expect(stripsByThreeSides(field, edgeSegments(field), steps)).toEqual([]);
  });
});
