// Reads what an embedded ICC profile says about a picture's numbers: tone curves and primaries, or tables.
import type { Matrix3 } from "#shared/density/matrix.ts";
import { ascii, fixed16, readToneCurve, type ToneCurve } from "./icc-curves.ts";
import { readTableColour, type TableColour } from "./icc-tables.ts";

export interface IccProfile {
  /** The profile's own name. */
  readonly name: string;
  readonly colourSpace: "RGB" | "GRAY" | "other";
  /** Red, green and blue tone curves, or the one grey curve; empty when the profile has none. */
  readonly curves: readonly ToneCurve[];
  /** XYZ under D50 of the primaries, as columns; null for grey profiles or when missing. */
  readonly colorants: Matrix3 | null;
  /**
   * The colours that its tables give, which go before curves and primaries; null without tables, or when they are of a
   * form that is not read.
   */
  readonly tableColour: TableColour | null;
}

const headerBytes = 128;

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

/** Where the profile's tags begin, by their signatures. */
function tagPlaces(view: DataView): ReadonlyMap<string, number> {
  const tags = new Map<string, number>();
  const count = Math.min(view.getUint32(headerBytes), 200);
  for (let i = 0; i < count; i++)
    tags.set(ascii(view, headerBytes + 4 + 12 * i, 4), view.getUint32(headerBytes + 8 + 12 * i));
  return tags;
}

/** XYZ of the three primaries, as columns; null unless all three are there. */
function readColorants(view: DataView, tags: ReadonlyMap<string, number>): Matrix3 | null {
  const xyz = ["rXYZ", "gXYZ", "bXYZ"].map((name) => tags.get(name)).filter((offset) => offset !== undefined);
  const column = (offset: number) => [0, 4, 8].map((row) => fixed16(view, offset + 8 + row));
  const [r, g, b] = xyz.length === 3 ? xyz.map(column) : [];
  return r && g && b ? [r[0]!, g[0]!, b[0]!, r[1]!, g[1]!, b[1]!, r[2]!, g[2]!, b[2]!] : null;
}

/** The tone curves of the named tags; none unless all can be read. */
function readCurves(view: DataView, tags: ReadonlyMap<string, number>, names: readonly string[]): ToneCurve[] {
  const curves = names.map((name) => (tags.has(name) ? readToneCurve(view, tags.get(name)!) : null));
  return curves.every((curve) => curve !== null) ? curves : [];
}

/**
 * What an ICC profile says, or null when it is too damaged to be one.
 * @param bytes the whole profile
 * Source: icc-profile-format, clauses 7, 9 and 10 (XYZType); tables go before curves: clause 8.10
 */
export function parseIccProfile(bytes: Uint8Array): IccProfile | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    if (ascii(view, 36, 4) !== "acsp") return null;
    const space = ascii(view, 16, 4).trim();
    const tags = tagPlaces(view);
    // Relative colorimetric where the profile tells intents apart.
    const tables = tags.get("A2B1") ?? tags.get("A2B0");
    return {
      name: tags.has("desc") ? readName(view, tags.get("desc")!).replace(/\0+$/u, "").trim() : "",
      colourSpace: space === "RGB" || space === "GRAY" ? space : "other",
      curves: readCurves(view, tags, space === "GRAY" ? ["kTRC"] : ["rTRC", "gTRC", "bTRC"]),
      colorants: readColorants(view, tags),
      tableColour:
        tables === undefined || space !== "RGB" ? null : readTableColour(view, tables, ascii(view, 20, 4).trim()),
    };
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
