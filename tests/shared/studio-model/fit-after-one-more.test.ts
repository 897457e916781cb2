import { expect, it } from "vitest";
import { predictTime } from "#shared/studio-model/predict.ts";
import { fitStudio } from "#shared/studio-model/studio-fit.ts";
import { simulatedStudio } from "../../bench/studio/simulated-studios.ts";

it("when one test is added to many, a fit that goes on from the one before says the same as one made anew", () => {
  const { observations, combinations } = simulatedStudio({
    seed: 71,
    printScatter: 0.02,
    tails: "normal",
    interaction: 0.04,
    strangeness: "none",
    lampChange: 0,
    badBatch: false,
    tests: 322,
  });
  const before = fitStudio(observations.slice(0, -1));
  const [on, anew] = [fitStudio(observations, [], { before }), fitStudio(observations)];
  for (const { of } of combinations) {
    const [a, b] = [on, anew].map((fit) => predictTime(fit, of));
    // Values are settled to 5e-4; a hundredth of a stop is 3e-3.
    expect(Math.abs(a!.calibration.logSeconds - b!.calibration.logSeconds)).toBeLessThan(1.5e-3);
    expect(Math.abs(a!.nextPrint.upper - b!.nextPrint.upper)).toBeLessThan(3e-3);
  }
});
