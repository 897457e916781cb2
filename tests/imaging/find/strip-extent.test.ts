// A strip drawn straight into a field: what the comb and the numberings make of it.
import { describe, expect, it } from "vitest";
import type { Field } from "#src/imaging/find/smoothed-field.ts";
import type { StepComb } from "#src/imaging/find/follow-boundaries.ts";
import { stepComb } from "#src/imaging/find/step-comb.ts";
import { lineRadius, stripBand, type StripBand } from "#src/imaging/find/strip-band.ts";
import { cellsAlong, extentCost, isCoatingAround } from "#src/imaging/find/strip-extent.ts";
import type { StripFrame } from "#src/imaging/find/strip-frame.ts";
import { seededRandom } from "#shared/statistics/random.ts";

const [width, height] = [700, 120];
const steps = 21;
const pitch = 24;
/** The strip lies from 100 px to 604 px, 40 px high about the middle line. */
const start = 100;
const frame: StripFrame = {
  originX: 0,
  originY: height / 2,
  alongX: 1,
  alongY: 0,
  lean: [0, 0],
  top: [-20, 0],
  bottom: [20, 0],
  sFrom: 0,
  sTo: width,
};
/** Densities with a long toe; the last step is still above the paper. */
const densities = Array.from({ length: steps }, (_, i) => 0.05 + 0.9 / (1 + Math.exp(0.35 * (i - 8))));

type Draw = (along: number, across: number) => number | null;

/** The field with the strip, on a surround, under what lies over both. */
function bandOf({ surround = 0, over = () => null }: { surround?: number; over?: Draw } = {}): StripBand {
  const random = seededRandom(3);
  const values = Float32Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [(i % width) + 0.5 - start, Math.floor(i / width) + 0.5 - height / 2];
    const inside = Math.abs(y) < 20 && x >= 0 && x < steps * pitch;
    return (over(x, y) ?? (inside ? densities[Math.floor(x / pitch)]! : surround)) + 0.004 * random.normal();
  });
  const field: Field = { width, height, values };
  return stripBand(field, frame, 20);
}

function combOf(band: StripBand, supposedPitch = pitch * 1.04): StepComb {
  const places = [6, 7, 8, 9, 10].map((k) => start + k * pitch);
  const comb = stepComb(
    band,
    { places, pitch: supposedPitch, shrink: 0, shrinkSpread: 0.001, origin: places[2]! },
    false,
  );
  if (comb === null) throw new Error("no comb");
  return comb;
}

describe("the comb", () => {
  it.each([1, 1.06, 0.5, 2])("supposed at %f of the true pitch, settles on the boundaries", (factor) => {
    const places = combOf(bandOf(), pitch * factor)
      .boundaries.filter((b) => b.fall > 0.03)
      .map((b) => (b.s - start) / pitch);
    expect(places.length).toBeGreaterThanOrEqual(8);
    for (const place of places) expect(Math.abs(place - Math.round(place))).toBeLessThan(0.06);
    expect(new Set(places.map(Math.round)).size).toBe(places.length);
  });

  it("does not follow the edge of the sheet beyond the strip", () => {
    const comb = combOf(bandOf({ over: (x) => (x > steps * pitch + 2 * pitch ? -0.6 : null) }));
    expect(Math.max(...comb.boundaries.map((b) => b.s))).toBeLessThan(start + (steps + 1) * pitch);
  });
});

/** What counting from so many steps before or after the true start leaves unexplained. */
function costAt(band: StripBand, shift: number, count = steps): number {
  const placeOf = (k: number) => start + (k + shift) * pitch;
  return extentCost(cellsAlong(band, placeOf), { steps: count, fall: 0.9, noise: 0.004 });
}

describe("the extent of a strip", () => {
  const paperLike: Draw = (x, y) => (x > pitch && x < 2 * pitch && y > -2 ? 0 : null);
  it.each([
    ["on paper", bandOf()],
    ["in blue", bandOf({ surround: 0.97 })],
    ["in blue with paper beyond a ragged edge", bandOf({ surround: 0.97, over: (x) => (x < -2.4 * pitch ? 0 : null) })],
  ] as const)("%s, is best explained by its own steps, and a step further either way clearly less", (_where, band) => {
    const costs = [-2, -1, 0, 1, 2].map((shift) => costAt(band, shift));
    for (const i of [0, 1, 3, 4]) expect(costs[i]! - costs[2]!).toBeGreaterThan(1.5);
  });

  it("in torn coating, loses nothing by what lies beyond its ends, and counts by its pale end", () => {
    const torn: Draw = (x, y) => {
      const isInside = Math.abs(y) < 20 && x >= 0 && x < steps * pitch;
      return !isInside && Math.sin(x / 9) + Math.sin(y / 5) > 1 ? 0 : null;
    };
    const band = bandOf({ surround: 0.97, over: torn });
    expect(costAt(band, 0)).toBeLessThan(1.5);
    const cells = cellsAlong(band, (k) => start + k * pitch);
    expect(isCoatingAround(cells, { steps, fall: 0.9, noise: 0.004 })).toBe(true);
    const onPaper = cellsAlong(bandOf(), (k) => start + k * pitch);
    expect(isCoatingAround(onPaper, { steps, fall: 0.9, noise: 0.004 })).toBe(false);
  });

  it("with a sticker on half of its second step, is still best explained by its own steps", () => {
    const band = bandOf({ over: paperLike });
    for (const shift of [-2, -1, 1, 2]) expect(costAt(band, shift) - costAt(band, 0)).toBeGreaterThan(0.5);
  });

  it("in coating torn within a step of its pale end, with paper beyond, does not reach out over it", () => {
    const end = steps * pitch;
    const torn = bandOf({ surround: 0.97, over: (x, y) => (x > end + pitch || (x > end && y < -6) ? 0 : null) });
    // Beyond the torn coating the paper is as pale as the last steps, so that only the coating speaks against it.
    for (const shift of [1, 2]) expect(costAt(torn, shift) - costAt(torn, 0)).toBeGreaterThan(0);
  });

  it("in blue, is not explained by fewer or more steps", () => {
    const band = bandOf({ surround: 0.97 });
    // Counted so that both end at the pale end: that one is seen, whatever the count.
    expect(costAt(band, 8, steps - 8) - costAt(band, 0)).toBeGreaterThan(1.5);
    expect(costAt(band, 0, steps + 4) - costAt(band, 0)).toBeGreaterThan(1.5);
  });
});

describe("a thin line", () => {
  it.each([8, 10, 14, 20, 40])("between steps %d px wide is never looked for as wide as the step", (pitchPx) => {
    expect(2 * lineRadius(pitchPx) + 1).toBeLessThanOrEqual(Math.max(3, pitchPx / 2));
  });
});

describe("a boundary that is a line", () => {
  it("is seen where the steps on both sides are alike", () => {
    // The last steps are as pale as paper; thin dark lines part them.
    const lined = bandOf({
      over: (x, y) => (Math.abs(y) < 20 && x > 0 && x < steps * pitch && x % pitch < 2.5 ? 1.1 : null),
    });
    const seen = combOf(lined, pitch).boundaries.map((b) => (b.s - start) / pitch);
    expect(seen.length).toBeGreaterThanOrEqual(18);
    for (const place of seen) expect(Math.abs(place - Math.round(place))).toBeLessThan(0.12);
  });
});
