import type { Reading, Tablet } from "#shared/schema/reading.ts";
import { testRequestSchema, type TestRequest } from "#shared/schema/test.ts";
import { stepInputs } from "#shared/tablet/step-inputs.ts";

/** Tablet of 21 even steps, the commonest. */
export const tablet21: Tablet = { kind: "transmission", steps: 21, increment: 0.15, firstDensity: 0.05 };

/** A whole request with everything that a test must say. */
export function testRequest(fields: { tablet: Tablet; exposureSeconds?: number } & Partial<TestRequest>): TestRequest {
  return testRequestSchema.parse({ lampId: "lamp", supportId: "support", coatingId: "coating", ...fields });
}

/**
 * A reading as if every step had been measured: density by log exposure, plus noise where given.
 * @param density density above paper at a log H (log10 of seconds through clear air)
 */
export function syntheticReading({
  tablet,
  exposureSeconds,
  density,
  sigma = 0.01,
  noise = () => 0,
}: {
  tablet: Tablet;
  exposureSeconds: number;
  density: (logH: number) => number;
  sigma?: number;
  noise?: () => number;
}): Reading {
  const densities = stepInputs(tablet).map((input) => {
    const logH = tablet.kind === "timed" ? Math.log10(input) : Math.log10(exposureSeconds) - input;
    return density(logH) + noise();
  });
  return measuredReading(tablet, densities, sigma);
}

/** A reading with these red densities. */
export function measuredReading(tablet: Tablet, densities: readonly number[], sigma = 0.006): Reading {
  return {
    image: { width: 1000, height: 200, bitsPerChannel: 8, profile: "sRGB" },
    location: {
      method: "given",
      corners: [
        [0, 0],
        [1000, 0],
        [1000, 200],
        [0, 200],
      ],
      confidence: 1,
    },
    steps: stepInputs(tablet).map((input, i) => {
      const red = densities[i]!;
      return {
        index: i + 1,
        input,
        red,
        visual: red * 0.6,
        lightness: 100 - 40 * red,
        sigma,
        sigmaVisual: sigma,
        centre: [i * 10, 100],
        box: [
          [0, 0],
          [1, 0],
          [1, 1],
          [0, 1],
        ],
        flags: [],
      };
    }),
    warnings: [],
  };
}

/** The logistic of the worked sensitometry example: rate in e-folds per log H. */
export const logistic =
  ({ dMin = 0, net, middle, rate = 4 }: { dMin?: number; net: number; middle: number; rate?: number }) =>
  (logH: number) =>
    dMin + net / (1 + Math.exp(-rate * (logH - middle)));
