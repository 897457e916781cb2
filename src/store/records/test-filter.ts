// Which tests a list shows: filters, words of a search, and the place to go on from.
import { InputError } from "#shared/errors.ts";
import type { TestFilter } from "#shared/schema/test.ts";
import { gatheredConditions, type SqlValue } from "#src/store/sql.ts";

/** What a filter of the list of tests asks of a row, as conditions and their values. */
export function conditionsFrom(filter: Partial<TestFilter>): { where: string[]; values: SqlValue[] } {
  const { where, values, add } = gatheredConditions();
  add("lamp_id = ?", filter.lampId);
  add("support_id = ?", filter.supportId);
  add("coating_id = ?", filter.coatingId);
  if (filter.filmId === "none") where.push("film_id IS NULL");
  else add("film_id = ?", filter.filmId);
  add("verdict = ?", filter.verdict);
  add("tablet_kind = ?", filter.tabletKind);
  add("made_ms >= ?", filter.from === undefined ? undefined : Date.parse(filter.from));
  add("made_ms < ?", filter.to === undefined ? undefined : Date.parse(filter.to));
  for (const word of (filter.search ?? "").toLowerCase().split(/\s+/)) {
    if (word === "") continue;
    where.push(wordCondition);
    values.push(...Array.from({ length: wordCondition.split("?").length - 1 }, () => word));
  }
  return { where, values };
}

/** The beginning of a word in a text, both in small letters. */
const beginsIn = (text: string): string => `instr(' ' || lower(${text}), ' ' || ?) > 0`;

/**
 * A word of a search begins a word of the test's name, of a material's name or of its notes, or is its day, month or
 * year.
 */
const wordCondition = `(${[
  beginsIn("name"),
  "(length(?) >= 4 AND instr(made_at, ?) = 1)",
  ...["lamp", "support", "coating", "film"].map(
    (material) => `${material}_id IN (SELECT id FROM ${material}s WHERE ${beginsIn("name")})`,
  ),
  `id IN (SELECT test_id FROM test_records WHERE ${beginsIn("json_extract(request, '$.notes')")})`,
].join(" OR ")})`;

/** The place in the list that an earlier answer named. @throws InputError "bad-request" */
export function placeFrom(after: string): [number, string] {
  const [madeMs = "", id = ""] = after.split("~");
  if (!/^-?\d{1,16}$/.test(madeMs) || id === "") {
    throw new InputError("bad-request", "This place in the list is not known: begin at the first page again.", {
      field: "after",
    });
  }
  return [Number(madeMs), id];
}
