// What a test is called: its own name, or its materials, its day, and which of that day's tests it is.
import { formatDay } from "#shared/format/instant.ts";
import type { SavedTest, TestSummary } from "#shared/schema/test.ts";
import type { StoreReader } from "#src/store/store.ts";
import { materialsText } from "#src/web/parts/materials-text.ts";

type TitledTest = Pick<TestSummary, "id" | "name" | "madeAt" | "lampId" | "supportId" | "coatingId" | "filmId">;

const ordinals = ["", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];

/** Title of a test's own page. */
export function testTitle(store: StoreReader, { id, createdAt, request }: SavedTest): string {
  if (request.name !== "") return request.name;
  const madeAt = request.madeAt ?? request.sun?.startedAt ?? createdAt;
  const { lampId, supportId, coatingId, filmId = null } = request;
  const test = { id, madeAt, name: "", lampId, supportId, coatingId, filmId };
  return `${materialsText(store, test)}, ${formatDay(madeAt)}${runningWord(store, test)}`;
}

/** Heading of a test's own page, right above its materials and its day: neither is read twice. */
export function testHeading(store: StoreReader, { id, createdAt, request }: SavedTest): string {
  if (request.name !== "") return request.name;
  const madeAt = request.madeAt ?? request.sun?.startedAt ?? createdAt;
  const { lampId, supportId, coatingId, filmId = null } = request;
  const running = runningWord(store, { id, madeAt, name: "", lampId, supportId, coatingId, filmId });
  return `Test of ${formatDay(madeAt)}${running}`;
}

/** Title where the day stands beside it. */
export function titleBesideDay(store: StoreReader, test: TitledTest): string {
  return test.name === "" ? `${materialsText(store, test)}${runningWord(store, test)}` : test.name;
}

/** Nothing for the first unnamed test of these materials on its day; ", second test" for the next. */
function runningWord(store: StoreReader, test: TitledTest): string {
  const zone = /(?:Z|[+-]\d\d:\d\d)$/.exec(test.madeAt)?.[0] ?? "Z";
  const place = store.tests.unnamedBefore(test, Date.parse(`${test.madeAt.slice(0, 10)}T00:00:00${zone}`));
  if (place === 0) return "";
  return place < ordinals.length ? `, ${ordinals[place]} test` : `, test ${place + 1}`;
}
