// A one-dimensional table in the open cube text form. Source: CubeLut2013.
import { writtenFixed } from "#shared/format/number.ts";

/** Most rows of a one-dimensional table in this form. */
const mostRows = 65_536;

/** A title as the form takes it: one line without quotation marks. */
const titleText = (title: string): string => title.replaceAll(/["\r\n]+/g, " ").trim();

/**
 * A grey table, the same for red, green and blue.
 * @param table.values outputs, 0-1, for inputs spread evenly from 0 to 1; 2 to 65536 of them
 * @param table.remarks lines of comment
 * @throws RangeError when the table is too short or too long, or a value lies outside 0-1
 * Source: CubeLut2013 (one-dimensional tables).
 */
export function cubeLutText(table: {
  readonly title: string;
  readonly remarks: readonly string[];
  readonly values: readonly number[];
}): string {
  const { values } = table;
  if (values.length < 2 || values.length > mostRows) throw new RangeError("a cube table has 2 to 65536 rows");
  if (values.some((value) => !(value >= 0 && value <= 1))) throw new RangeError("a cube table holds numbers 0 to 1");
  return [
    ...table.remarks.map((remark) => `# ${remark.replaceAll(/[\r\n]+/g, " ")}`),
    `TITLE "${titleText(table.title)}"`,
    `LUT_1D_SIZE ${values.length}`,
    "DOMAIN_MIN 0.0 0.0 0.0",
    "DOMAIN_MAX 1.0 1.0 1.0",
    ...values.map((value) => Array.from({ length: 3 }, () => writtenFixed(value, 6)).join(" ")),
    "",
  ].join("\n");
}
