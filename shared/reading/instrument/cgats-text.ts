// The text form in which programs of spectrophotometers write their numbers: keywords, the names of the columns, rows.

export interface MeasuredTable {
  /** Names of the columns, in capitals. */
  readonly fields: readonly string[];
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[];
  /** Lines before the columns' names: who measured, with what, under which light. */
  readonly head: readonly string[];
  /** How many rows the head says there are; null where it does not. */
  readonly told: number | null;
}

/** Whether a text is of this form at all. */
export const isCgatsText = (text: string): boolean => /^\s*BEGIN_DATA\s*$/im.test(text);

/**
 * Words of a line; quoted ones may hold blanks. Comments run from # to the line's end.
 * @param isTabbed the columns are parted by tabs: then a cell may hold blanks without quotes, or be empty
 */
function wordsOf(line: string, isTabbed = false): string[] {
  if (isTabbed && line.includes("\t") && !/["#]/.test(line)) {
    const cells = line.split("\t").map((cell) => cell.trim());
    // A tab at the line's end parts nothing.
    return cells.at(-1) === "" ? cells.slice(0, -1) : cells;
  }
  return [...line.matchAll(/"([^"]*)"|#.*|[^\s"#]+/g)].flatMap((match) => {
    if (match[1] !== undefined) return [match[1]];
    return match[0].startsWith("#") ? [] : [match[0]];
  });
}

interface Row {
  readonly line: number;
  readonly cells: string[];
}

/** Values go on with the last row until each of its columns has one. */
function addCells(rows: Row[], { line, cells }: Row, columns: number): void {
  const last = rows.at(-1);
  if (cells.length === 0) return;
  if (last !== undefined && last.cells.length < columns) last.cells.push(...cells);
  else rows.push({ line, cells });
}

/** How many rows the lines before a table say it has. Source: cgats-17 */
function rowsTold(head: readonly string[]): number | null {
  const told = head.map((line) => /^NUMBER_OF_SETS\s+(\d+)/i.exec(line)?.[1]).findLast((each) => each !== undefined);
  return told === undefined ? null : Number(told);
}

/**
 * Tables of a CGATS.17 text, each with its columns and rows. Values may be broken over lines: a row ends when every
 * column has its value.
 * @param text as written by an instrument's program
 * @returns tables in order; columns stay those of the table before where a later one names none
 * Source: cgats-17
 */
export function tablesOfCgats(text: string): MeasuredTable[] {
  const tables: MeasuredTable[] = [];
  let [fields, head]: [string[], string[]] = [[], []];
  let rows: Row[] = [];
  let isTabbed = false;
  let within: "head" | "format" | "data" = "head";
  for (const [index, raw] of text.split(/\r\n|\r|\n/).entries()) {
    const word = raw.trim().toUpperCase();
    if (word === "BEGIN_DATA_FORMAT") [within, fields, isTabbed] = ["format", [], false];
    else if (word === "END_DATA_FORMAT" || word === "END_DATA") {
      if (within === "data") tables.push({ fields, rows, head, told: rowsTold(head) });
      if (within === "data") head = [];
      within = "head";
    } else if (word === "BEGIN_DATA") [within, rows] = ["data", []];
    else if (within === "format") {
      fields.push(...wordsOf(raw).map((each) => each.toUpperCase()));
      isTabbed ||= raw.trim().includes("\t");
    } else if (within === "head" && word !== "") head.push(raw.trim());
    else if (within === "data") addCells(rows, { line: index + 1, cells: wordsOf(raw, isTabbed) }, fields.length);
  }
  return tables;
}
