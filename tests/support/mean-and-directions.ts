// Mean and covariance of drawn vectors, the covariance as directions that move with normal unknowns of size one.
import { choleskyFactor } from "#shared/statistics/cholesky.ts";

export interface MeanAndDirections {
  readonly mean: readonly number[];
  /** The sum of their outer products is the covariance. */
  readonly directions: readonly (readonly number[])[];
}

export function meanAndDirections(drawn: readonly (readonly number[])[]): MeanAndDirections {
  const size = drawn[0]!.length;
  const mean = Array.from({ length: size }, (_, k) => drawn.reduce((sum, each) => sum + each[k]!, 0) / drawn.length);
  const covariance = new Float64Array(size * size);
  for (const each of drawn)
    for (let j = 0; j < size; j++)
      for (let k = 0; k < size; k++)
        covariance[j * size + k]! += ((each[j]! - mean[j]!) * (each[k]! - mean[k]!)) / (drawn.length - 1);
  const factor = choleskyFactor(covariance, size);
  const directions = mean.map((_, d) => mean.map((__, k) => factor[k * size + d]!));
  return { mean, directions };
}
