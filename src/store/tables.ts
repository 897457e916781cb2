// Every kind of record with its table, whose changes are told on the news board.
import { telling, type NewsBoard } from "./news.ts";
import { changeTable, type ChangeTable } from "./records/changes.ts";
import { deviceTable, type DeviceTable } from "./records/devices.ts";
import { evennessTable, type EvennessTable } from "./records/evenness-maps.ts";
import { fadingTable, type FadingTable } from "./records/fading-readings.ts";
import {
  keptCurveTable,
  materialTables,
  printerTable,
  stockTable,
  tabletTable,
  type KeptCurveTable,
  type MaterialTables,
  type PrinterTable,
  type StockTable,
  type TabletTable,
} from "./records/materials.ts";
import { madeNegativeTable, type MadeNegativeTable } from "./records/made-negatives.ts";
import { printTable, type PrintTable } from "./records/prints.ts";
import { queueTable, type QueueTable } from "./records/queue.ts";
import { studioFactTable, type StudioFactTable } from "./records/studio-facts.ts";
import { sunAnchorTable, type SunAnchorTable } from "./records/sun-anchors.ts";
import { sunFrameTable, type SunFrameTable } from "./records/sun-frames.ts";
import { testTable, type TestTable } from "./records/tests.ts";
import type { Sql } from "./sql.ts";

export interface Tables extends MaterialTables {
  readonly tests: TestTable;
  readonly prints: PrintTable;
  readonly madeNegatives: MadeNegativeTable;
  readonly printers: PrinterTable;
  readonly keptCurves: KeptCurveTable;
  readonly stocks: StockTable;
  readonly tablets: TabletTable;
  readonly sunAnchors: SunAnchorTable;
  readonly sunFrames: SunFrameTable;
  readonly changes: ChangeTable;
  readonly evennessMaps: EvennessTable;
  readonly devices: DeviceTable;
  readonly queue: QueueTable;
  readonly fading: FadingTable;
  readonly studioFacts: StudioFactTable;
}

export function openTables({
  sql,
  now,
  board,
}: {
  readonly sql: Sql;
  readonly now: () => Date;
  readonly board: NewsBoard;
}): Tables {
  const told = { board, afterCommit: (work: () => void) => sql.afterCommit(work) };
  const materials = materialTables(sql, now);
  return {
    lamps: telling(materials.lamps, "lamps", told),
    supports: telling(materials.supports, "supports", told),
    coatings: telling(materials.coatings, "coatings", told),
    films: telling(materials.films, "films", told),
    tests: telling(testTable(sql, now), "tests", told),
    prints: telling(printTable(sql, now), "prints", told),
    madeNegatives: telling(madeNegativeTable(sql, now), "made-negatives", told),
    printers: telling(printerTable(sql, now), "printers", told),
    keptCurves: telling(keptCurveTable(sql, now), "kept-curves", told),
    stocks: telling(stockTable(sql, now), "stocks", told),
    tablets: telling(tabletTable(sql, now), "tablets", told),
    sunAnchors: telling(sunAnchorTable(sql, now), "sun-anchors", told),
    sunFrames: telling(sunFrameTable(sql, now), "sun-frames", told),
    changes: telling(changeTable(sql, now), "studio-changes", told),
    evennessMaps: evennessTable(sql, now),
    devices: telling(deviceTable(sql, now), "devices", told),
    queue: telling(queueTable(sql, now), "queue", told),
    fading: telling(fadingTable(sql, now), "fading", told),
    studioFacts: studioFactTable(sql),
  };
}
