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
  // Twice over is the binomial kernel of five places: two at a time. Each pass after the first works in place.
  for (let done = 0; done < times;) {
    const from = done === 0 ? field.values : out;
    if (times - done > 1) smoothTwice(out, from, width, height);
    else smoothOnce(out, from, width, height);
    done += Math.min(2, times - done);
  }
  return { width, height, values: out };
}

function smoothOnce(out: Float32Array, from: Float32Array, width: number, height: number): void {
  // Rows smoothed along themselves: above, here and below.
  let [above, here, below] = [new Float32Array(width), new Float32Array(width), new Float32Array(width)];
  smoothAlong(here, from, 0);
  above.set(here);
  for (let y = 0; y < height; y++) {
    if (y + 1 < height) smoothAlong(below, from, (y + 1) * width);
    else below.set(here);
    smoothAcross(out, y * width, above, here, below);
    [above, here, below] = [here, below, above];
  }
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

/** Five rows, smoothed along themselves twice over, about the one that is written. */
type FiveRows = [Float32Array, Float32Array, Float32Array, Float32Array, Float32Array];

function smoothTwice(out: Float32Array, from: Float32Array, width: number, height: number): void {
  const rows = Array.from({ length: 5 }, () => new Float32Array(width)) as FiveRows;
  const fill = (row: Float32Array, y: number): void =>
    smoothAlongTwice(row, from, Math.min(Math.max(y, 0), height - 1) * width);
  for (let i = 0; i < 4; i++) fill(rows[i]!, i - 2);
  for (let y = 0; y < height; y++) {
    fill(rows[4], y + 2);
    smoothAcrossTwice(out, y * width, rows);
    rows.push(rows.shift()!);
  }
}

function smoothAlongTwice(row: Float32Array, values: Float32Array, from: number): void {
  const last = row.length - 1;
  for (let x = 2; x < last - 1; x++) {
    const at = from + x;
    row[x] = (values[at - 2]! + values[at + 2]! + 4 * (values[at - 1]! + values[at + 1]!) + 6 * values[at]!) / 16;
  }
  for (const x of [0, 1, last - 1, last]) {
    const at = (place: number): number => values[from + Math.min(Math.max(place, 0), last)]!;
    row[x] = (at(x - 2) + at(x + 2) + 4 * (at(x - 1) + at(x + 1)) + 6 * at(x)) / 16;
  }
}

function smoothAcrossTwice(values: Float32Array, from: number, [a, b, c, d, e]: FiveRows): void {
  for (let x = 0; x < c.length; x++) values[from + x] = (a[x]! + e[x]! + 4 * (b[x]! + d[x]!) + 6 * c[x]!) / 16;
}

/** Whether a place lies in a field, a pixel's width within its rim. */
export const isWithin = ({ width, height }: Pick<Field, "width" | "height">, x: number, y: number): boolean =>
  x >= 1 && y >= 1 && x <= width - 1 && y <= height - 1;

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
