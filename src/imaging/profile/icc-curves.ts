// Tone curves as ICC profiles write them, and the small numbers round them.

/** Linear light (0-1) of a code as a share of its greatest value (0-1). */
export type ToneCurve = (encoded: number) => number;

export const ascii = (view: DataView, offset: number, length: number) =>
  String.fromCharCode(...Array.from({ length }, (_, i) => view.getUint8(offset + i)));
export const fixed16 = (view: DataView, offset: number) => view.getInt32(offset) / 65_536;

/** Number of parameters of each kind of parametricCurveType. */
const parameterCounts = [1, 3, 4, 5, 7] as const;

/** Bytes that a curve takes, without padding. */
export function toneCurveBytes(view: DataView, offset: number): number {
  return ascii(view, offset, 4) === "curv"
    ? 12 + 2 * view.getUint32(offset + 8)
    : 12 + 4 * (parameterCounts[view.getUint16(offset + 8)] ?? 1);
}

/**
 * A curveType or parametricCurveType; null when it is something else.
 * Source: icc-profile-format, clauses 10.6 and 10.18
 */
export function readToneCurve(view: DataView, offset: number): ToneCurve | null {
  const type = ascii(view, offset, 4);
  if (type === "curv") return sampledCurve(view, offset);
  return type === "para" ? parametricCurve(view, offset) : null;
}

/** A curveType: nothing for the identity, one number for a gamma, more for evenly spaced samples. */
function sampledCurve(view: DataView, offset: number): ToneCurve {
  const count = view.getUint32(offset + 8);
  if (count === 0) return (x) => x;
  if (count === 1) {
    const gamma = view.getUint16(offset + 12) / 256;
    return (x) => Math.max(x, 0) ** gamma;
  }
  const values = Float64Array.from({ length: count }, (_, i) => view.getUint16(offset + 12 + 2 * i) / 65_535);
  return (x) => {
    const at = Math.min(Math.max(x, 0), 1) * (count - 1);
    const below = Math.min(Math.floor(at), count - 2);
    return values[below]! + (values[below + 1]! - values[below]!) * (at - below);
  };
}

/** A parametricCurveType of one of the five kinds; null for a kind that the standard does not know. */
function parametricCurve(view: DataView, offset: number): ToneCurve | null {
  const kind = view.getUint16(offset + 8);
  const parameterCount = parameterCounts[kind];
  if (parameterCount === undefined) return null;
  // Parameters that a kind does not have leave its curve as it is.
  const parameter = (i: number, absent: 0 | 1) => (i < parameterCount ? fixed16(view, offset + 12 + 4 * i) : absent);
  const [g, a, b] = [parameter(0, 1), parameter(1, 1), parameter(2, 0)];
  const [c, d, e, f] = [parameter(3, 0), parameter(4, 0), parameter(5, 0), parameter(6, 0)];
  const power = (x: number) => Math.max(a * x + b, 0) ** g;
  switch (kind) {
    case 0:
      return (x) => Math.max(x, 0) ** g;
    case 1:
      return (x) => (x >= -b / a ? power(x) : 0);
    case 2:
      return (x) => (x >= -b / a ? power(x) + c : c);
    case 3:
      return (x) => (x >= d ? power(x) : c * x);
    default:
      return (x) => (x >= d ? power(x) + e : c * x + f);
  }
}
