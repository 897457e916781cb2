// Steps with lines between them and numbers along one long edge: there, too, they are seen to reach it.
import { describe, expect, it } from "vitest";
import type { Corners } from "#shared/schema/reading.ts";
import { refinedStrip } from "#src/imaging/find/refined/refine-strip.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";
import { isInStrip, stripField } from "../../support/pictures/strip-field.ts";

const steps = 16;
const corners: Corners = [
  [70, 70],
  [680, 90],
  [676, 190],
  [68, 172],
];
/** Blueness (log10) of invented steps, and of the lines between them. */
const toneOf = (step: number): number => 1.3 / (1 + Math.exp(0.7 * (step - 6)));
const lineTone = 0.1;

/** @param lean by how many steps a line lies further on at the lower edge than at the upper */
const numbered = (lean: number): Field =>
  stripField({
    size: [740, 260],
    corners,
    seed: 5,
    grain: (random) => 0.01 * random.normal(),
    smoothings: 1,
    toneAt: (u, v) => {
      if (!isInStrip(u, v)) return 0;
      const place = u * steps - lean * (v - 0.5);
      const share = place - Math.floor(place);
      if (Math.min(share, 1 - share) < 0.04 && place > 0.5 && place < steps - 0.5) return lineTone;
      const isNumber = v > 0.72 && v < 0.94 && share > 0.22 && share < 0.78;
      return isNumber ? 0 : toneOf(Math.min(steps - 1, Math.max(0, Math.floor(place))));
    },
  });

describe("steps beside a row of numbers", () => {
  it.each([
    ["between upright lines", 0],
    ["between lines that lean a little", 0.16],
  ])("%s, are seen next to both long edges", (_circumstance, lean) => {
    const found = refinedStrip(numbered(lean), corners, steps)!;
    expect(found.evidence.rowShare).toBeGreaterThan(0.5);
    expect(found.evidence.besideShare).toBeLessThan(0.3);
  });
});
