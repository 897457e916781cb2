import { readFileSync } from "node:fs";

/** Rows of tests/reference/<name>.csv by column name; lines that begin with # carry source, licence and tolerance. */
export function referenceTable(name: string): Record<string, string>[] {
  const text = readFileSync(new URL(`../reference/${name}.csv`, import.meta.url), "utf8");
  const lines = text.split(/\r?\n/).filter((line) => line !== "" && !line.startsWith("#"));
  const cells = (line: string) => [...line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/g)].map((match) => match[1] ?? match[2] ?? "");
  const columns = cells(lines[0]!);
  return lines.slice(1).map((line) => {
    const values = cells(line);
    return Object.fromEntries(columns.map((column, i) => [column, values[i] ?? ""]));
  });
}
