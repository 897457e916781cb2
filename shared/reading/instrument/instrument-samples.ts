// An instrument's text as samples: red and visual density of each patch in the order in which it was measured.
import { shareFromCubeRoot } from "#shared/density/lab.ts";
import { densityFromReflectance } from "#shared/density/density-and-reflectance.ts";
import { inverseMatrix, component, type Vector3 } from "#shared/density/matrix.ts";
import { xyzFromReflectanceSpectrum } from "#shared/density/reflectance-spectrum.ts";
import { d50, srgbChromaticities, xyzD50FromRgb } from "#shared/density/rgb-spaces.ts";
import type { InstrumentQuantity, InstrumentRequest } from "#shared/schema/measured/instrument.ts";
import { isCgatsText, tablesOfCgats, type MeasuredTable } from "./cgats-text.ts";
import { instrumentTrouble } from "./instrument-facts.ts";

export interface InstrumentSample {
  /** Its name in the file; empty without one. */
  readonly name: string;
  /** Densities as measured, not above paper; null where that was not measured. */
  readonly red: number | null;
  readonly visual: number | null;
  /** The colour holds less red light than its space can say. */
  readonly isOutOfGamut: boolean;
}

export interface InstrumentSamples {
  readonly quantity: InstrumentQuantity;
  readonly samples: readonly InstrumentSample[];
  /** Name of the density scale that the file's head tells, or null. */
  readonly scaleName: string | null;
  readonly isOtherLight: boolean;
}

const redFromXyz = inverseMatrix(xyzD50FromRgb(srgbChromaticities));
/** Red light below this share cannot be told from none. Source: common practice, no source. */
const leastRed = 1e-3;

/** Densities of a colour under D50 [XYZ, white Y = 1]. */
function sampleOfXyz(name: string, [x, y, z]: Vector3): InstrumentSample {
  const red = component(redFromXyz, 0, x, y, z);
  return {
    name,
    red: densityFromReflectance(Math.max(red, leastRed)),
    visual: densityFromReflectance(y),
    isOutOfGamut: red < leastRed,
  };
}

/**
 * CIE XYZ under D50 of a colour.
 * @param lab L* (0-100), a*, b* under D50
 * Source: cie-15
 */
export function xyzFromLab([l, a, b]: Vector3): Vector3 {
  const f = (l + 16) / 116;
  return [d50[0] * shareFromCubeRoot(f + a / 500), shareFromCubeRoot(f), d50[2] * shareFromCubeRoot(f - b / 200)];
}

/** A table in which nothing is above this holds shares; else percent. A dark patch alone may be below 2 %. */
const mostShare = 2;

/** A column that holds one wavelength of a spectrum, by the names that programs give it. */
const spectralField = /^(?:SPECTRAL_?)?(?:NM|DEC|PCT)?_?(\d{3})(?:NM)?$/;

/** How to read a row: which columns make which quantity. Colours before filters: they are what a camera's red means. */
const readers: readonly {
  readonly quantity: InstrumentQuantity;
  readonly columnsOf: (fields: readonly string[]) => number[] | null;
  /** What one means in the columns' unit; absent for densities and L*a*b*. @param values of the whole table */
  readonly unitOf?: (values: readonly (readonly number[])[]) => number;
  readonly sampleOf: (
    name: string,
    values: readonly number[],
    by: { readonly fields: readonly string[]; readonly unit: number },
  ) => InstrumentSample;
}[] = [
  {
    quantity: "spectra",
    columnsOf(fields) {
      const columns = fields.flatMap((field, i) => (spectralField.test(field) ? [i] : []));
      return columns.length >= 8 ? columns : null;
    },
    unitOf: (values) => (Math.max(...values.flat()) > mostShare ? 100 : 1),
    sampleOf(name, values, { fields, unit }) {
      const points = values
        .map((value, i) => [Number(spectralField.exec(fields[i]!)![1]), value / unit] as const)
        .sort(([a], [b]) => a - b);
      return sampleOfXyz(
        name,
        xyzFromReflectanceSpectrum({
          wavelengthsNm: points.map(([nm]) => nm),
          reflectances: points.map(([, reflectance]) => reflectance),
        }),
      );
    },
  },
  {
    quantity: "xyz",
    columnsOf: (fields) => columnsNamed(fields, ["XYZ_X", "XYZ_Y", "XYZ_Z"]),
    // White is written as Y = 100, or as 1 by some programs.
    unitOf: (values) => (Math.max(...values.map(([, y]) => y!)) > mostShare ? 100 : 1),
    sampleOf: (name, [x, y, z], { unit }) => sampleOfXyz(name, [x! / unit, y! / unit, z! / unit]),
  },
  {
    quantity: "lab",
    columnsOf: (fields) => columnsNamed(fields, ["LAB_L", "LAB_A", "LAB_B"]),
    sampleOf: (name, [l, a, b]) => sampleOfXyz(name, xyzFromLab([l!, a!, b!])),
  },
  {
    quantity: "red-density",
    columnsOf: (fields) => columnsNamed(fields, ["D_RED", "D_VIS"]) ?? columnsNamed(fields, ["D_RED"]),
    sampleOf: (name, [red, visual]) => ({ name, red: red!, visual: visual ?? null, isOutOfGamut: false }),
  },
  {
    quantity: "visual-density",
    columnsOf: (fields) => columnsNamed(fields, ["D_VIS"]),
    sampleOf: (name, [visual]) => ({ name, red: null, visual: visual!, isOutOfGamut: false }),
  },
];

function columnsNamed(fields: readonly string[], names: readonly string[]): number[] | null {
  const columns = names.map((name) => fields.indexOf(name));
  return columns.includes(-1) ? null : columns;
}

/** Plain numbers as a table with the columns of the named quantity. */
function plainTable(text: string, asked: InstrumentQuantity | undefined): MeasuredTable {
  // "0,04 0,20" has decimal commas; "39.1, -2.0, -30.5" and "1,39,-2,-30" part numbers by them.
  const isParted = text.split(/[\s;]+/).some((word) => word.split(",").length > 2);
  const isDecimalComma = !text.includes(".") && !isParted && /\d,\d/.test(text);
  const lines = text
    .split(/\r\n|\r|\n/)
    .map((line) => (isDecimalComma ? line.replaceAll(",", ".") : line).split(/[\s;,]+/).filter((word) => word !== ""));
  const filled = lines.flatMap((cells, i) => (cells.some((cell) => /\d/.test(cell)) ? [{ line: i + 1, cells }] : []));
  const isColour =
    asked === "lab" ||
    asked === "xyz" ||
    (asked === undefined && filled.every(({ cells }) => cells.length >= 3) && filled.length > 1);
  const fieldsOf = { lab: ["LAB_L", "LAB_A", "LAB_B"], xyz: ["XYZ_X", "XYZ_Y", "XYZ_Z"] };
  if (isColour) {
    const fields = fieldsOf[asked === "xyz" ? "xyz" : "lab"];
    // A number of the patch or its name may stand before the colour.
    return { fields, rows: filled.map(({ line, cells }) => ({ line, cells: cells.slice(-3) })), head: [], told: null };
  }
  const fields = [asked === "visual-density" ? "D_VIS" : "D_RED"];
  const isNumbered =
    filled.length > 1 && filled.every(({ cells }, i) => cells.length === 2 && Number(cells[0]) === i + 1);
  const rows = filled.flatMap(({ line, cells }) =>
    (isNumbered ? cells.slice(1) : cells).map((cell) => ({ line, cells: [cell] })),
  );
  return { fields, rows, head: [], told: null };
}

/** Numbers of a table's rows in some of its columns. @throws TroubleError where one is missing */
function valuesOf({ rows, told }: MeasuredTable, columns: readonly number[]): number[][] {
  const values = rows.map(({ line, cells }) => {
    const row = columns.map((at) => Number.parseFloat((cells[at] ?? "").replace(",", ".")));
    if (!row.every(Number.isFinite)) throw instrumentTrouble({ code: "instrument-bad-line", line });
    return row;
  });
  // A row that lacks a value takes the next one's, so that all that follow are shifted.
  if (told !== null && told !== rows.length)
    throw instrumentTrouble({ code: "instrument-rows", told, found: rows.length });
  return values;
}

/**
 * Samples that an instrument's text holds, in its order.
 * @throws TroubleError "bad-request" where it holds none that can be read
 * Source: cgats-17, cie-15, iec-61966-2-1 (red of its primaries)
 */
export function instrumentSamples({ text: written, quantity: asked }: InstrumentRequest): InstrumentSamples {
  // Some programs write a true minus sign.
  const text = written.replaceAll("\u2212", "-");
  const tables = isCgatsText(text) ? tablesOfCgats(text) : [plainTable(text, asked)];
  if (tables.every(({ rows }) => rows.length === 0)) throw instrumentTrouble({ code: "instrument-no-data" });
  for (const table of tables) {
    for (const { quantity, columnsOf, unitOf, sampleOf } of readers) {
      const columns = columnsOf(table.fields);
      if (columns === null || (asked !== undefined && asked !== quantity)) continue;
      const named = ["SAMPLE_NAME", "SAMPLENAME", "SAMPLE_ID", "SAMPLEID"].find((name) => table.fields.includes(name));
      const nameAt = named === undefined ? -1 : table.fields.indexOf(named);
      const fields = columns.map((at) => table.fields[at]!);
      const head = table.head.join("\n");
      const values = valuesOf(table, columns);
      const unit = unitOf?.(values) ?? 1;
      return {
        quantity,
        samples: table.rows.map(({ cells }, i) => sampleOf(cells[nameAt] ?? "", values[i]!, { fields, unit })),
        scaleName: /\bstatus[_ ]?([AEIMT])\b/i.exec(head)?.[0]?.replace("_", " ") ?? null,
        isOtherLight: /\b(?:D65|D55|D75|F11|10[_ ]?(?:°|DEG))/i.test(head) && quantity !== "spectra",
      };
    }
  }
  throw instrumentTrouble({ code: "instrument-no-known-field" });
}
