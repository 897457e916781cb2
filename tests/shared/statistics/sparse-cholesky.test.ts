import { describe, expect, it } from "vitest";
import { choleskyFactor, choleskySolve, logDeterminantOf } from "#shared/statistics/cholesky.ts";
import { seededRandom } from "#shared/statistics/random.ts";
import {
  sparseFactor,
  sparseLogDeterminant,
  sparsePattern,
  sparsePlace,
  sparseQuadraticForm,
  sparseSolve,
} from "#shared/statistics/sparse-cholesky.ts";

/** A matrix of random groups, sparse and full. */
function both(seed: number, size: number, groupCount: number) {
  const random = seededRandom(seed);
  const groups = Array.from({ length: groupCount }, () => [
    ...new Set(Array.from({ length: 4 }, () => Math.floor(size * random.uniform()))),
  ]);
  const pattern = sparsePattern(size, groups);
  const values = new Float64Array(pattern.rowOf.length);
  const full = new Float64Array(size * size);
  const add = (i: number, j: number, value: number): void => {
    values[sparsePlace(pattern, Math.min(i, j), Math.max(i, j))]! += value;
    full[i * size + j]! += value;
    if (i !== j) full[j * size + i]! += value;
  };
  for (let i = 0; i < size; i++) add(i, i, 0.5 + random.uniform());
  for (const group of groups) {
    const row = group.map(() => random.normal());
    group.forEach((i, a) => group.forEach((j, b) => b <= a && add(i, j, row[a]! * row[b]!)));
  }
  return { pattern, values, full, right: Float64Array.from({ length: size }, () => random.normal()) };
}

describe("the sparse factor", () => {
  it.each([1, 2, 3, 4])("solves as the full one does, seed %i", (seed) => {
    const size = 40;
    const { pattern, values, full, right } = both(seed, size, 30);
    const factor = sparseFactor(pattern, values);
    const dense = choleskyFactor(full, size);
    const expected = choleskySolve(dense, right);
    sparseSolve(factor, right).forEach((value, i) => expect(value).toBeCloseTo(expected[i]!, 10));
    expect(sparseLogDeterminant(factor)).toBeCloseTo(logDeterminantOf(dense, size), 9);
    const form = right.reduce((sum, value, i) => sum + value * expected[i]!, 0);
    expect(sparseQuadraticForm(factor, right)).toBeCloseTo(form, 10);
    expect(factor.values.length).toBeLessThan((size * (size - 1)) / 2);
  });

  it("when the matrix is not positive, refuses it", () => {
    const pattern = sparsePattern(2, [[0, 1]]);
    expect(() => sparseFactor(pattern, Float64Array.of(1, 2, 1))).toThrow(RangeError);
  });

  it("when two unknowns never meet, has no place for them", () => {
    expect(() => sparsePlace(sparsePattern(3, [[0, 1]]), 0, 2)).toThrow(RangeError);
  });
});
