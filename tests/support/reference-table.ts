import { readFileSync } from "node:fs";

/**
 * Rows of tests/reference/<name>.csv by column name; lines that begin with # carry source, licence and tolerance.
 * @param rowCount how many rows there must be, so that none is dropped in silence
 */
export function referenceTable(name: string, rowCount?: number): Record<string, string>[] {
  const text = readFileSync(new URL(`../reference/${name}.csv`, import.meta.url), "utf8");
  const lines = text.split(/\r?\n/).filter((line) => line !== "" && !line.startsWith("#"));
  const cells = (line: string) =>
    [...line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/g)].map((match) => match[1] ?? match[2] ?? "");
  const columns = cells(lines[0]!);
  const rows = lines.slice(1).map((line) => {
    const values = cells(line);
    return Object.fromEntries(columns.map((column, i) => [column, values[i] ?? ""]));
  });
  if (rowCount !== undefined && rows.length !== rowCount)
    throw new Error(`${name} has ${rows.length} rows, not ${rowCount}`);
  return rows;
}

/** A cell as a number; throws when it is none. */
export function numberIn(row: Readonly<Record<string, string>>, column: string): number {
  const text = row[column];
  const value = Number(text);
  if (text === undefined || text === "" || !Number.isFinite(value))
    throw new Error(`no number in ${column}: "${text}"`);
  return value;
}
