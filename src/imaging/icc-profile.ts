// Reads what an embedded ICC profile says about a picture's numbers: tone curves and primaries (matrix/TRC profiles).
import type { Matrix3 } from "#shared/density/matrix.ts";

/** Linear light (0-1) of a code as a share of its greatest value (0-1). */
export type ToneCurve = (encoded: number) => number;

export interface IccProfile {
  /** The profile's own name. */
  readonly name: string;
  readonly colourSpace: "RGB" | "GRAY" | "other";
  /** Red, green and blue tone curves, or the one grey curve; empty when the profile has none. */
  readonly curves: readonly ToneCurve[];
  /** XYZ under D50 of the primaries, as columns; null for grey profiles or when missing. */
  readonly colorants: Matrix3 | null;
  /** True when tables (A2B0) stand beside or instead of curves. */
  readonly hasTables: boolean;
}

const headerBytes = 128;
const ascii = (view: DataView, offset: number, length: number) =>
  String.fromCharCode(...Array.from({ length }, (_, i) => view.getUint8(offset + i)));
const fixed16 = (view: DataView, offset: number) => view.getInt32(offset) / 65_536;

/** A curveType or parametricCurveType; null when it is something else. */
function readToneCurve(view: DataView, offset: number): ToneCurve | null {
  const type = ascii(view, offset, 4);
  if (type === "curv") {
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
  if (type !== "para") return null;
  const kind = view.getUint16(offset + 8);
  const parameterCount = [1, 3, 4, 5, 7][kind];
  if (parameterCount === undefined) return null;
  const p = Array.from({ length: parameterCount }, (_, i) => fixed16(view, offset + 12 + 4 * i));
  const [g = 1, a = 1, b = 0, c = 0, d = 0, e = 0, f = 0] = p;
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

/** The profile's name from a textDescriptionType or multiLocalizedUnicodeType. */
function readName(view: DataView, offset: number): string {
  const type = ascii(view, offset, 4);
  if (type === "desc") {
    const length = view.getUint32(offset + 8);
    return ascii(view, offset + 12, Math.max(0, Math.min(length - 1, 200)));
  }
  if (type === "mluc" && view.getUint32(offset + 8) > 0) {
    const length = Math.min(view.getUint32(offset + 20), 400);
    const start = offset + view.getUint32(offset + 24);
    return String.fromCharCode(...Array.from({ length: length >> 1 }, (_, i) => view.getUint16(start + 2 * i)));
  }
  return "";
}

/**
 * What an ICC profile says, or null when it is too damaged to be one.
 * @param bytes the whole profile
 * Source: icc-profile-format, clauses 7, 9 and 10 (curveType, parametricCurveType, XYZType)
 */
export function parseIccProfile(bytes: Uint8Array): IccProfile | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    if (ascii(view, 36, 4) !== "acsp") return null;
    const space = ascii(view, 16, 4).trim();
    const tags = new Map<string, number>();
    const count = Math.min(view.getUint32(headerBytes), 200);
    for (let i = 0; i < count; i++)
      tags.set(ascii(view, headerBytes + 4 + 12 * i, 4), view.getUint32(headerBytes + 8 + 12 * i));
    const curvesOf = (names: readonly string[]) => {
      const curves = names.map((name) => (tags.has(name) ? readToneCurve(view, tags.get(name)!) : null));
      return curves.every((curve) => curve !== null) ? curves : [];
    };
    const xyz = ["rXYZ", "gXYZ", "bXYZ"].map((name) => tags.get(name)).filter((offset) => offset !== undefined);
    const column = (i: number) => [0, 4, 8].map((row) => fixed16(view, xyz[i]! + 8 + row));
    const [r, g, b] = xyz.length === 3 ? [column(0), column(1), column(2)] : [];
    return {
      name: tags.has("desc") ? readName(view, tags.get("desc")!).replace(/\0+$/u, "").trim() : "",
      colourSpace: space === "RGB" || space === "GRAY" ? space : "other",
      curves: space === "GRAY" ? curvesOf(["kTRC"]) : curvesOf(["rTRC", "gTRC", "bTRC"]),
      colorants: r && g && b ? [r[0]!, g[0]!, b[0]!, r[1]!, g[1]!, b[1]!, r[2]!, g[2]!, b[2]!] : null,
      hasTables: tags.has("A2B0"),
    };
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
