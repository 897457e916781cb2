// Tests, their steps and prints as tables to take away: units in the headings, points in the numbers, ISO dates.
import { setImmediate as breathe } from "node:timers/promises";
import { exposedSeconds } from "#shared/prints/procedure.ts";
import type { SavedTest } from "#shared/schema/test.ts";
import type { RecordTable } from "#shared/schema/workshop/records.ts";
import { csvText } from "#src/output/csv.ts";
import type { Tools } from "#src/studio/tools.ts";
import { everyPrint, everyTest } from "./every-test.ts";

type Cell = string | number;
type Store = Tools["store"];

/** One table of the studio's records as CSV; others are answered while it is made. */
export async function recordTableCsv({ store }: Pick<Tools, "store">, table: RecordTable): Promise<string> {
  switch (table) {
    case "tests":
      return testsCsv(store);
    case "steps":
      return stepsCsv(store);
    case "prints":
      return printsCsv(store);
  }
}

const materialHeads = ["lamp", "support", "coating", "film"];

function materialCells(
  store: Store,
  ids: { lampId: string; supportId: string; coatingId: string; filmId?: string | null | undefined },
): Cell[] {
  return [
    store.lamps.find(ids.lampId)?.name ?? "",
    store.supports.find(ids.supportId)?.name ?? "",
    store.coatings.find(ids.coatingId)?.name ?? "",
    ids.filmId == null ? "" : (store.films.find(ids.filmId)?.name ?? ""),
  ];
}

/** Whole tests are long records: so many are read in one go. */
const testsAtOnce = 20;

/** Rows of every test, newest first; one that is deleted meanwhile is left out. */
async function rowsOfTests(store: Store, rowsOf: (test: SavedTest) => Cell[][]): Promise<Cell[][]> {
  const rows: Cell[][] = [];
  for (const [index, { id }] of everyTest({ store }).entries()) {
    if (index % testsAtOnce === 0) await breathe();
    const test = store.tests.find(id);
    if (test !== undefined) rows.push(...rowsOf(test));
  }
  return rows;
}

const orEmpty = (value: number | null | undefined): Cell => value ?? "";

async function testsCsv(store: Store): Promise<string> {
  const heads = [
    "id",
    "madeAt",
    "name",
    ...materialHeads,
    "tabletKind",
    "testSeconds",
    "seconds",
    "lowerSeconds",
    "upperSeconds",
    "verdict",
    "dMin",
    "dMax",
    "logExposureRange",
    "invented",
    "fromStudio",
    "notes",
  ];
  const rows = await rowsOfTests(store, ({ id, request, exposure, curve, createdAt, invented }) => [
    [
      id,
      request.madeAt ?? createdAt,
      request.name,
      ...materialCells(store, request),
      request.tablet.kind,
      orEmpty(request.exposureSeconds),
      orEmpty(exposure.seconds),
      orEmpty(exposure.lowerSeconds),
      orEmpty(exposure.upperSeconds),
      exposure.verdict,
      orEmpty(curve?.dMin),
      orEmpty(curve?.dMax),
      orEmpty(curve?.logExposureRange),
      invented ? "yes" : "",
      request.from?.studio ?? "",
      request.notes,
    ],
  ]);
  return csvText(heads, rows);
}

async function stepsCsv(store: Store): Promise<string> {
  const rows = await rowsOfTests(store, ({ id, request, reading }) =>
    reading.steps.map((step) => [
      id,
      request.name,
      step.index,
      orEmpty(step.input),
      step.red,
      step.visual,
      step.lightness,
      step.sigma,
      step.flags.join(" "),
    ]),
  );
  const heads = ["testId", "testName", "step", "input", "redDensity", "visualDensity", "lightness", "sigma", "flags"];
  return csvText(heads, rows);
}

function printsCsv(store: Store): string {
  const heads = [
    "id",
    "createdAt",
    "name",
    "printedBy",
    ...materialHeads,
    "plannedSeconds",
    "exposedSeconds",
    "outcome",
    "areaCm2",
    "coatingMl",
    "notes",
  ];
  const rows = everyPrint({ store }).map((print): Cell[] => [
    print.id,
    print.createdAt,
    print.name,
    print.printedBy,
    ...materialCells(store, print),
    print.exposureSeconds,
    exposedSeconds(print.steps, print.exposureSeconds),
    print.outcome ?? "",
    orEmpty(print.areaCm2),
    orEmpty(print.coatingMl),
    print.notes,
  ]);
  return csvText(heads, rows);
}
