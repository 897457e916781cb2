import { describe, expect, it } from "vitest";
import type { Corners } from "#shared/schema/reading.ts";
import { apartInOtherLight } from "#src/imaging/find/other-light.ts";
import type { SmallPicture } from "#src/imaging/find/small-picture.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";

const [width, height] = [420, 100];
const steps = 9;
const corners: Corners = [
  [30, 30],
  [390, 30],
  [390, 70],
  [30, 70],
];
/** Nine steps from dark to pale on paper, so many small pixels along from their corners. */
const stripAt = (alongPx: number): Field => ({
  width,
  height,
  values: Float32Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [(i % width) + 0.5 - alongPx, Math.floor(i / width) + 0.5];
    return x < 30 || x >= 390 || y < 30 || y >= 70 ? 0 : 1.2 - 0.13 * Math.floor((x - 30) / 40);
  }),
});
const paper: Field = { width, height, values: new Float32Array(width * height) };
const pictureOf = (fields: Record<"blueness" | "darkness" | "green", Field>): SmallPicture => ({
  width,
  height,
  factor: 1,
  blueness: fields.blueness,
  darkness: fields.darkness,
  greenDarkness: () => fields.green,
});
const strip = stripAt(0);

describe("a place looked for in other light", () => {
  it("where it lies the same in all, comes again within a small pixel", () => {
    const small = pictureOf({ blueness: strip, darkness: stripAt(0), green: stripAt(0) });
    const apart = apartInOtherLight(small, { corners, seenIn: strip }, steps);
    expect(apart).toHaveLength(2);
    for (const share of apart) expect(share).toBeLessThan(1 / 360);
  });

  it("where another light shows it elsewhere, or nothing, says how far", () => {
    const small = pictureOf({ blueness: strip, darkness: stripAt(6), green: paper });
    const [dark, green] = apartInOtherLight(small, { corners, seenIn: strip }, steps);
    expect(dark).toBeCloseTo(6 / 360, 2);
    expect(green).toBe(Infinity);
  });

  it("when it was found in darkness, is looked for in blueness, never in what it was found in", () => {
    const small = pictureOf({ blueness: paper, darkness: strip, green: strip });
    expect(apartInOtherLight(small, { corners, seenIn: strip }, steps)[0]).toBe(Infinity);
  });

  it("in a grey picture, which has no other light, is not looked for", () => {
    const grey = { ...pictureOf({ blueness: paper, darkness: strip, green: strip }), blueness: null };
    expect(apartInOtherLight({ ...grey, greenDarkness: () => null }, { corners, seenIn: strip }, steps)).toEqual([]);
  });
});
