import { describe, expect, it } from "vitest";
import { logHAtShare } from "#shared/curve/curve-at.ts";
import { fitCharacteristicCurve } from "#shared/curve/fit-characteristic-curve.ts";
import { shareVariances } from "#shared/curve/share-uncertainty.ts";
import { noSystematicErrors } from "#shared/curve/systematic-errors.ts";
import { conditions } from "../../bench/honest/conditions.ts";
import { labels, margins, simulatedPrint } from "../../bench/honest/simulated-print.ts";
import { tuningFamilies } from "../../bench/honest/truth-curves.ts";

const [tabletScale, tabletBase] = [0.025, 0.02];

/** The curve of a simulated print, its tablet taken to be off from its label. */
function curveOf(seed: number, { scale, base } = { scale: 0, base: 0 }) {
  const print = simulatedPrint({ seed, families: tuningFamilies, condition: conditions[0]!, margin: margins.good });
  const full = Math.log10(print.testSeconds);
  const steps = labels(print.strip).map((label, i) => {
    const tabletDensity = base + (1 + scale) * label;
    const [density, sigma] = [print.densities[i]!, 0.006];
    return {
      index: i + 1,
      logH: full - tabletDensity,
      sigmaLogH: 0.015,
      density,
      sigma,
      isFlagged: false,
      tabletDensity,
    };
  });
  const errors = { ...noSystematicErrors, tabletScale, tabletBase };
  return { full, curve: fitCharacteristicCurve({ channel: "red", steps, errors })! };
}

const timeOf = (answer: ReturnType<typeof curveOf>) => logHAtShare(answer.curve, 0.9)!;

// A stretched strip is as good a curve as a true one, so that no fit can know of the tablet more than was known before.
describe.each([6, 7, 8, 10, 11])("a tablet that may be off as a whole, print %i", (seed) => {
  const answer = curveOf(seed);
  const label = answer.full - timeOf(answer);

  it("moves the time by all that it is off", () => {
    expect(timeOf(curveOf(seed, { scale: 0, base: 0.02 })) - timeOf(answer)).toBeCloseTo(-0.02, 3);
    const stretched = timeOf(curveOf(seed, { scale: 0.025, base: 0 })) - timeOf(answer);
    expect(Math.abs(stretched + 0.025 * label)).toBeLessThan(0.001);
  });
  it("is in the range with all that it may be off", () => {
    const parts = shareVariances(answer.curve, 0.9).filter(({ source }) => source === "tablet-scale-and-base");
    const sigma = Math.sqrt(parts.reduce((sum, { variance }) => sum + variance, 0));
    expect(sigma / Math.hypot(tabletBase, tabletScale * label)).toBeCloseTo(1, 2);
  });
});
