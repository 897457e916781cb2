// A field of values over the small picture: smoothed, and read between its pixels.

/** A field of values over the small picture, row by row. */
export interface Field {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

/** The field smoothed by a 3 x 3 binomial kernel, `times` over. */
export function smoothed(field: Field, times: number): Field {
  const { width, height } = field;
  if (times === 0) return field;
  const out = new Float32Array(field.values.length);
  // Rows smoothed along themselves: above, here and below. Each pass after the first works in place.
  let [above, here, below] = [new Float32Array(width), new Float32Array(width), new Float32Array(width)];
  for (let pass = 0; pass < times; pass++) {
    const from = pass === 0 ? field.values : out;
    smoothAlong(here, from, 0);
    above.set(here);
    for (let y = 0; y < height; y++) {
      if (y + 1 < height) smoothAlong(below, from, (y + 1) * width);
      else below.set(here);
      smoothAcross(out, y * width, above, here, below);
      [above, here, below] = [here, below, above];
    }
  }
  return { width, height, values: out };
}

function smoothAlong(row: Float32Array, values: Float32Array, from: number): void {
  const last = row.length - 1;
  for (let x = 1; x < last; x++) row[x] = (values[from + x - 1]! + 2 * values[from + x]! + values[from + x + 1]!) / 4;
  for (const x of [0, last])
    row[x] = (values[from + Math.max(0, x - 1)]! + 2 * values[from + x]! + values[from + Math.min(last, x + 1)]!) / 4;
}

function smoothAcross(
  values: Float32Array,
  from: number,
  above: Float32Array,
  here: Float32Array,
  below: Float32Array,
): void {
  for (let x = 0; x < here.length; x++) values[from + x] = (above[x]! + 2 * here[x]! + below[x]!) / 4;
}

/**
 * Value of a field between pixels; the nearest edge value outside. Coordinates are continuous, pixel centres at half
 * numbers.
 */
export function valueAt(field: Field, x: number, y: number): number {
  const fx = Math.min(Math.max(x - 0.5, 0), field.width - 1.001);
  const fy = Math.min(Math.max(y - 0.5, 0), field.height - 1.001);
  const x0 = fx | 0;
  const y0 = fy | 0;
  const ax = fx - x0;
  const ay = fy - y0;
  const at = y0 * field.width + x0;
  const v = field.values;
  return (
    (v[at]! * (1 - ax) + v[at + 1]! * ax) * (1 - ay) +
    (v[at + field.width]! * (1 - ax) + v[at + field.width + 1]! * ax) * ay
  );
}
