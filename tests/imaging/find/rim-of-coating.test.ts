// Coating that ends a little beyond the pale end, as a torn brush edge does: its rim is no wider than a line.
import { describe, expect, it } from "vitest";
import type { Corners } from "#shared/schema/reading.ts";
import { refinedStrip } from "#src/imaging/find/refined/refine-strip.ts";
import type { Field } from "#src/imaging/find/smoothed-field.ts";
import { isInStrip, partOfStrip, stripField } from "../../support/pictures/strip-field.ts";

const steps = 7;
const corners: Corners = [
  [160, 70],
  [580, 96],
  [574, 172],
  [156, 150],
];
/** Blueness (log10) of invented steps: the first two are as dark as the coating. */
const tones = [1.2, 1.2, 1.08, 0.8, 0.52, 0.3, 0.16];
/** The coating reaches beyond either end by so many steps. */
const rimSteps = 0.2;

/** @param rimShare share of the height over which there is coating beyond the pale end */
const torn = (rimShare: number): Field =>
  stripField({
    size: [760, 260],
    corners,
    seed: 7,
    grain: (random) => 0.004 * (random.uniform() - 0.5),
    smoothings: 1,
    toneAt: (u, v) => {
      if (isInStrip(u, v)) return tones[Math.min(steps - 1, Math.floor(u * steps))]!;
      const rim = (rimSteps + 0.04 * Math.sin(9 * v)) / steps;
      const isBeside = Math.max(-v, v - 1) < 0.3 + 0.1 * Math.sin(31 * u);
      const isBeyond = u < 0 ? u > -rim : u < 1 + (v < rimShare ? rim : 0);
      return isBeside && isBeyond ? 1.2 : 0;
    },
  });

/** Corners moved along the strip by so many of its steps. */
const moved = (by: number): Corners => partOfStrip(corners, [by / steps, 1 + by / steps], [0, 1]);

const misplacedSteps = (found: Corners): number =>
  (steps * Math.max(...found.map(([x, y], i) => Math.hypot(x - corners[i]![0], y - corners[i]![1])))) / 420;

describe("a narrow rim of coating beyond the pale end", () => {
  it.each([
    ["all across, counted right at first", 1, 0],
    ["all across, counted a step too far", 1, 1],
    ["all across, counted a step too near", 1, -1],
    ["over half of it, counted a step too far", 0.6, 1],
  ])("%s, shows which step is the last", (_circumstance, rimShare, by) => {
    const found = refinedStrip(torn(rimShare), moved(by), steps);
    expect(misplacedSteps(found!.corners)).toBeLessThan(0.15);
    expect(found!.isEndSeen).toBe(true);
    expect(found!.evidence.countMargin).toBeGreaterThan(1.5);
  });
});
