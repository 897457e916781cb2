// Tables as CGATS.17 text: keywords, a list of fields, rows; several tables follow each other in one file.

export interface CgatsTable {
  /** Standard keywords with their text, in order. */
  readonly header: readonly (readonly [keyword: string, text: string])[];
  /** Private keywords, each announced by a KEYWORD line as the standard asks. */
  readonly notes: readonly (readonly [keyword: string, text: string])[];
  readonly fields: readonly string[];
  /** Fields that are not in the standard, announced like private keywords. */
  readonly ownFields?: readonly string[];
  readonly rows: readonly (readonly (string | number)[])[];
}

/** Source: cgats-17 (ANSI CGATS.17 text form; keywords as seen in open files, layout from memory). */
export function cgatsText(tables: readonly CgatsTable[]): string {
  return tables.map((table, index) => (index === 0 ? "CGATS.17\n" : "\n") + cgatsTable(table)).join("");
}

function cgatsTable({ header, notes, fields, ownFields = [], rows }: CgatsTable): string {
  return [
    ...header.map(([keyword, text]) => `${keyword} ${quoted(text)}`),
    ...notes.flatMap(([keyword, text]) => [`KEYWORD ${quoted(keyword)}`, `${keyword} ${quoted(text)}`]),
    ...ownFields.map((field) => `KEYWORD ${quoted(field)}`),
    `NUMBER_OF_FIELDS ${fields.length}`,
    "BEGIN_DATA_FORMAT",
    fields.join("\t"),
    "END_DATA_FORMAT",
    `NUMBER_OF_SETS ${rows.length}`,
    "BEGIN_DATA",
    ...rows.map((row) =>
      row
        .map((value) => (typeof value === "number" ? String(Math.round(value * 1e5) / 1e5) : quoted(value)))
        .join("\t"),
    ),
    "END_DATA",
    "",
  ].join("\n");
}

function quoted(text: string): string {
  return `"${text.replaceAll('"', "'").replace(/[\r\n\t]+/g, " ")}"`;
}
