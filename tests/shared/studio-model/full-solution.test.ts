import { describe, expect, it } from "vitest";
import { choleskyFactor, choleskySolve } from "#shared/statistics/cholesky.ts";
import type { ChangeEvent, Circumstances } from "#shared/studio-model/observation.ts";
import { covarianceOf, solveSystem, timeOf } from "#shared/studio-model/solve.ts";
import { spreadsAt, usualPlace } from "#shared/studio-model/spreads.ts";
import { rowFrom, systemOf, systemWith } from "#shared/studio-model/system.ts";
import { frameOf, knownLogSeconds, termsOf, termsOfObservation, varianceOf } from "#shared/studio-model/unknowns.ts";
import { simulatedStudio } from "../../bench/studio/simulated-studios.ts";

const spreads = spreadsAt(usualPlace);
const change: ChangeEvent = {
  id: "tubes",
  scope: "lamp",
  scopeId: "l1",
  atMs: 30 * 86_400_000,
  spread: 0.15,
  isNewLight: false,
};

function studioOf(seed: number) {
  const plan = { seed, printScatter: 0.03, tails: "normal", interaction: 0.08, strangeness: "none" } as const;
  const { observations, combinations } = simulatedStudio({ ...plan, lampChange: 0.15, badBatch: true, tests: 60 });
  const frame = frameOf(observations, [change]);
  const plain = systemOf(observations, frameOf(observations, []));
  return { observations, combinations, frame, system: systemWith(plain, change) };
}

/** The same equations written out in full, row by row, with no place left out. */
function fullSolution({ observations, frame }: ReturnType<typeof studioOf>) {
  const rows = observations.map((each) => termsOfObservation(each, frame));
  const terms = new Map(rows.flat().map((term) => [term.key, term]));
  const keys = [...terms.keys()];
  const size = keys.length;
  const matrix = new Float64Array(size * size);
  const right = new Float64Array(size);
  keys.forEach((key, i) => (matrix[i * size + i] = 1 / varianceOf(terms.get(key)!, spreads)));
  observations.forEach((each, o) => {
    if (each.seen.kind !== "measured") throw new Error("simulated tests are measured");
    const weight = 1 / (each.seen.sigma ** 2 + spreads.print ** 2);
    for (const one of rows[o]!) {
      const i = keys.indexOf(one.key);
      right[i]! += weight * one.coefficient * (each.seen.logSeconds - knownLogSeconds(each));
      for (const other of rows[o]!)
        matrix[i * size + keys.indexOf(other.key)]! += weight * one.coefficient * other.coefficient;
    }
  });
  const factor = choleskyFactor(matrix, size);
  const values = choleskySolve(factor, right);
  const rowOf = (of: Circumstances): Float64Array => {
    const row = new Float64Array(size);
    for (const { key, coefficient } of termsOf(of, frame)) if (terms.has(key)) row[keys.indexOf(key)] = coefficient;
    return row;
  };
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, value, i) => sum + value * b[i]!, 0);
  return {
    meanOf: (of: Circumstances) => dot(rowOf(of), values),
    covariance: (one: Circumstances, other: Circumstances) => dot(rowOf(one), choleskySolve(factor, rowOf(other))),
  };
}

describe("the sparse equations beside the same ones in full", () => {
  it.each([41, 42, 43])("give every time, its variance and its covariance alike, seed %i", (seed) => {
    const studio = studioOf(seed);
    const full = fullSolution(studio);
    const solution = solveSystem(studio.system, spreads, { errors: "normal" });
    const rows = studio.combinations.map(({ of }) => ({
      of,
      // What nothing seen touches has no place in the full equations either.
      row: { ...rowFrom(termsOf(of, studio.frame), studio.system.numberOf, 0), untouched: [] },
    }));
    expect(rows.length).toBeGreaterThan(8);
    for (const { of, row } of rows) {
      const { mean, variance } = timeOf(solution, row);
      expect(Math.abs(mean - full.meanOf(of))).toBeLessThan(1e-9);
      expect(Math.abs(variance - full.covariance(of, of))).toBeLessThan(1e-9);
      const other = rows[0]!;
      expect(Math.abs(covarianceOf(solution, row, other.row) - full.covariance(of, other.of))).toBeLessThan(1e-9);
    }
  });
});
