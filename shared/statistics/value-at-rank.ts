// Selection: the value at a place of the order, without sorting the rest.

/** Middle value of the first `count` numbers; rearranges them. */
export function medianInPlace(values: Float32Array | Float64Array, count = values.length): number {
  return count === 0 ? Number.NaN : valueAtRank(values, count >> 1, count);
}

/** The number that would stand at place k, from 0, if the first `count` were sorted; rearranges them. */
export function valueAtRank(values: Float32Array | Float64Array, k: number, count = values.length): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1]!;
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i <= j) {
        const kept = values[i]!;
        values[i++] = values[j]!;
        values[j--] = kept;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k]!;
}
