// Every record of a database, each to be read as the pages would read it.
import { z } from "zod";
import { evennessTable } from "#src/store/records/evenness-maps.ts";
import { fadingTable } from "#src/store/records/fading-readings.ts";
import { madeNegativeTable } from "#src/store/records/made-negatives.ts";
import { keptCurveTable, materialTables, printerTable, stockTable, tabletTable } from "#src/store/records/materials.ts";
import { readRequest } from "#src/store/records/old-record.ts";
import { printTable } from "#src/store/records/prints.ts";
import { queueTable } from "#src/store/records/queue.ts";
import { sunAnchorTable } from "#src/store/records/sun-anchors.ts";
import { sunFrameTable } from "#src/store/records/sun-frames.ts";
import type { Sql } from "#src/store/sql.ts";

export type RecordKind = keyof ReturnType<typeof tablesById> | "tests";

export interface StoredRecord {
  readonly kind: RecordKind;
  readonly id: string;
  /** @throws whatever is wrong with it */
  read(): void;
}

const readingShape = z.looseObject({
  image: z.looseObject({ width: z.number(), height: z.number() }),
  location: z.looseObject({ corners: z.array(z.array(z.number())) }),
  steps: z.array(z.looseObject({ index: z.number(), red: z.number(), sigma: z.number() })),
  warnings: z.array(z.looseObject({ code: z.string() })),
});
const curveShape = z
  .looseObject({
    channel: z.enum(["red", "visual"]),
    points: z.looseObject({}),
    samples: z.array(z.looseObject({ logH: z.number(), density: z.number() })),
    steps: z.array(z.looseObject({ logH: z.number(), density: z.number() })),
  })
  .nullable();
const exposureShape = z.looseObject({ verdict: z.string(), reasons: z.array(z.unknown()).optional() });

/** Tables whose records are read by their id alone: what each is called in the database, and its reader. */
function tablesById(sql: Sql) {
  const now = (): Date => new Date();
  const { lamps, supports, coatings, films } = materialTables(sql, now);
  return {
    lamps: ["lamps", lamps],
    supports: ["supports", supports],
    coatings: ["coatings", coatings],
    films: ["films", films],
    stocks: ["stocks", stockTable(sql, now)],
    tablets: ["tablets", tabletTable(sql, now)],
    printers: ["printers", printerTable(sql, now)],
    "kept-curves": ["kept_curves", keptCurveTable(sql, now)],
    prints: ["prints", printTable(sql, now)],
    "made-negatives": ["made_negatives", madeNegativeTable(sql, now)],
    "evenness-maps": ["evenness_maps", evennessTable(sql, now)],
    "sun-anchors": ["sun_anchors", sunAnchorTable(sql, now)],
    "sun-frames": ["sun_frames", sunFrameTable(sql, now)],
    queue: ["queue", queueTable(sql, now)],
    fading: ["fading_readings", fadingTable(sql, now)],
  } as const;
}

export function* everyRecord(sql: Sql): Generator<StoredRecord> {
  for (const [kind, [table, records]] of Object.entries(tablesById(sql)))
    for (const { id } of sql.all(`SELECT id FROM ${table}`))
      yield { kind: kind as RecordKind, id: String(id), read: () => void records.get(String(id)) };
  for (const { id } of sql.all("SELECT test_id AS id FROM test_records"))
    yield { kind: "tests", id: String(id), read: () => readTest(sql, String(id)) };
}

function readTest(sql: Sql, id: string): void {
  const json = (value: unknown): unknown => (value === null ? null : JSON.parse(String(value)));
  const row = sql.get("SELECT * FROM test_records WHERE test_id = ?", id);
  readRequest(json(row?.["request"]));
  readingShape.parse(json(row?.["reading"]));
  curveShape.parse(json(row?.["curve"] ?? null));
  exposureShape.parse(json(row?.["exposure"]));
  z.array(z.looseObject({ code: z.string() })).parse(json(row?.["warnings"]));
}
