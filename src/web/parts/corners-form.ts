// The four corners of a tablet or a bed as eight number fields.
import type { Corners } from "#shared/schema/reading.ts";
import { numberOf, type Asked, type FormValues } from "./form-values.ts";

/** The corners, `prefix` before each field's name; undefined when none is filled. */
export function cornersFrom(values: FormValues, prefix = ""): Asked<Corners | undefined> {
  const at = (corner: number, axis: 0 | 1): number | undefined =>
    numberOf(values, `${prefix}corners.${corner}.${axis}`);
  const points = [0, 1, 2, 3].map((corner) => [at(corner, 0), at(corner, 1)] as const);
  if (points.flat().every((number) => number === undefined)) return { value: undefined, errors: {} };
  const whole = points.filter((point): point is readonly [number, number] =>
    point.every((number) => number !== undefined && !Number.isNaN(number)),
  );
  const [a, b, c, d] = whole;
  if (a === undefined || b === undefined || c === undefined || d === undefined) {
    return {
      value: undefined,
      errors: { [`${prefix}corners`]: "Give both numbers of all four corners, or leave all eight empty." },
    };
  }
  return { value: [[...a], [...b], [...c], [...d]], errors: {} };
}
