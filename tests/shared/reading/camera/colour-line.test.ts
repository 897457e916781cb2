import { describe, expect, it } from "vitest";
import { stepsOffColourLine, type ColourDensities } from "#shared/reading/camera/colour-line.ts";
import { seededRandom } from "#shared/statistics/random.ts";

/** Green and blue density of an invented blue pigment, by its red density: bent, since its lines are not narrow. */
function printed(reds: readonly number[], seed: number): ColourDensities[] {
  const random = seededRandom(seed);
  return reds.map((red) => ({
    red: red + 0.002 * random.normal(),
    green: 0.55 * red - 0.04 * red ** 2 + 0.002 * random.normal(),
    blue: 0.22 * red + 0.02 * red ** 2 + 0.002 * random.normal(),
    sigma: { red: 0.002, green: 0.002, blue: 0.002 },
    isWhole: true,
  }));
}

const good = Array.from({ length: 21 }, (_, i) => 1.4 / (1 + Math.exp((i - 10) / 2)));
/** A test far too short: one step of some blue, the rest hardly any. */
const short = [0.29, 0.08, 0.05, 0.03, 0.02, 0.015, 0.01, ...Array.from({ length: 14 }, (_, i) => 0.008 - i * 0.0005)];

/** The same steps with a brown stain over one. */
function stained(steps: readonly ColourDensities[], at: number): ColourDensities[] {
  return steps.map((step, i) => (i === at ? { ...step, green: step.green + 0.15, blue: step.blue + 0.3 } : step));
}

describe("stepsOffColourLine", () => {
  it("when nothing lies on a good print, names no step", () => {
    for (let seed = 1; seed <= 40; seed++) expect(stepsOffColourLine(printed(good, seed))).toEqual([]);
  });

  it("when a test is far too short, does not take its one blue step for a stain", () => {
    for (let seed = 1; seed <= 40; seed++) expect(stepsOffColourLine(printed(short, seed))).toEqual([]);
  });

  it.each([0, 3, 9, 15, 20])("when step %i of a good print is stained, names that one", (at) => {
    for (let seed = 1; seed <= 20; seed++) expect(stepsOffColourLine(stained(printed(good, seed), at))).toEqual([at]);
  });
});
