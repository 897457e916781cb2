// A strip drawn straight into a field: what the comb and the ends make of it.
import { describe, expect, it } from "vitest";
import type { Field } from "#src/imaging/find/small-picture.ts";
import { stepComb, type StepComb } from "#src/imaging/find/step-comb.ts";
import { stripBand, type StripBand } from "#src/imaging/find/strip-band.ts";
import { endNextTo, farEnd } from "#src/imaging/find/strip-ends.ts";
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
  return stripBand(field, frame);
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

describe("the ends", () => {
  it("on paper, is the dark one", () => {
    const band = bandOf();
    const asked = { steps, leastRise: 0.2 };
    expect(endNextTo(band, combOf(band), { ...asked, kind: "dark" })!.s).toBeCloseTo(start, 0);
    expect(endNextTo(band, combOf(band), { ...asked, kind: "pale" })).toBeNull();
  });

  it("in blue, is the pale one", () => {
    const band = bandOf({ surround: 0.97 });
    const asked = { steps, leastRise: 0.2 };
    expect(endNextTo(band, combOf(band), { ...asked, kind: "pale" })!.s).toBeCloseTo(start + steps * pitch, 0);
    expect(endNextTo(band, combOf(band), { ...asked, kind: "dark" })).toBeNull();
  });

  it("is not the edge of a sticker, whether it looks like paper over half the height or unlike it over all", () => {
    const paperLike: Draw = (x, y) => (x > pitch && x < 2 * pitch && y > -2 ? 0 : null);
    const coloured: Draw = (x, y) => (x > pitch && x < 2 * pitch && Math.abs(y) < 22 ? -0.5 : null);
    for (const over of [paperLike, coloured]) {
      const band = bandOf({ over });
      expect(endNextTo(band, combOf(band), { kind: "dark", steps, leastRise: 0.2 })!.s).toBeCloseTo(start, 0);
    }
  });

  it("that falls more than its neighbours and leaves no contrast is the other one", () => {
    const band = bandOf();
    expect(farEnd(band, combOf(band), "pale")!).toBeCloseTo(start + steps * pitch, 0);
    const fading = bandOf({ over: (x, y) => (Math.abs(y) < 20 && x > 16 * pitch && x < steps * pitch ? 0 : null) });
    expect(farEnd(fading, combOf(fading), "dark")).toBeNull();
  });
});
