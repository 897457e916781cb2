// Tables, the log of a year and the studio's name. The tables are read again by a parser of the format's own grammar
// (RFC 4180), not by what wrote them.
import { describe, expect, it } from "vitest";
import { printRequestSchema } from "#shared/schema/prints.ts";
import { yearLogPdf } from "#src/output/year-log.ts";
import { beginPrint, changePrint } from "#src/studio/keep-print.ts";
import { everyPrint, everyTest } from "#src/studio/teaching/every-test.ts";
import { nameStudio, studioOf } from "#src/studio/teaching/name-studio.ts";
import { recordTableCsv } from "#src/studio/teaching/record-tables.ts";
import { logOfYear, makeYearLog, yearLogCsv, yearsOfLog } from "#src/studio/teaching/year-log.ts";
import { hasPoppler, pdfFacts } from "../../support/pictures/pdf-facts.ts";
import { sampleTestRecord, savePicture, saveSampleMaterials } from "../../support/studios/sample-records.ts";
import { testApp } from "../../support/test-app.ts";

/** Records of RFC 4180: fields parted by commas, quoted where they hold commas, quotes or line ends. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  for (const [, quoted, plain, end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|$)/g)) {
    rows.at(-1)!.push(quoted === undefined ? (plain ?? "") : quoted.replaceAll('""', '"'));
    if (end === "\r\n") rows.push([]);
    if (end === "") break;
  }
  return rows.filter((row) => row.length > 1);
}

function rowsOf(text: string): Record<string, string>[] {
  const [heads = [], ...rows] = readCsv(text);
  return rows.map((row) => Object.fromEntries(heads.map((head, i) => [head, row[i] ?? ""])));
}

async function studio() {
  const { store } = testApp();
  const materials = saveSampleMaterials(store);
  const picture = await savePicture(store);
  const save = (changes: object) =>
    store.transaction(() => store.tests.save(sampleTestRecord(materials, picture, changes)));
  save({ name: 'Rag, "thick"', madeAt: "2024-12-31T10:00:00Z" });
  save({ name: "New box", madeAt: "2025-01-01T10:00:00Z", notes: "two\nlines" });
  const print = beginPrint(
    { store },
    printRequestSchema.parse({ ...materials, name: "Fern", printedBy: "Ada", exposureSeconds: 600 }),
  );
  changePrint({ store }, print.id, { outcome: "right", areaCm2: 300, coatingMl: 2.5 });
  return { store, print };
}

const thisYear = new Date().getUTCFullYear();

describe("tables", () => {
  it("of tests and prints hold every record, with whatever its texts hold", async () => {
    const { store } = await studio();
    const tests = rowsOf(await recordTableCsv({ store }, "tests"));
    expect(tests.map(({ name }) => name)).toEqual(["New box", 'Rag, "thick"']);
    expect(tests[0]).toMatchObject({
      lamp: "Box",
      support: "Paper",
      seconds: "240",
      verdict: "ok",
      notes: "two\nlines",
    });
    const prints = rowsOf(await recordTableCsv({ store }, "prints"));
    expect(prints).toMatchObject([
      { name: "Fern", printedBy: "Ada", exposedSeconds: "600", outcome: "right", coatingMl: "2.5" },
    ]);
  });

  it("of steps hold each step of each test", async () => {
    const { store } = await studio();
    const steps = rowsOf(await recordTableCsv({ store }, "steps"));
    expect(steps).toHaveLength(10);
    expect(steps[0]).toMatchObject({ step: "1", redDensity: "1.32", sigma: "0.01" });
  });
});

describe("everyTest and everyPrint", () => {
  it("go through page after page", async () => {
    const { store } = testApp();
    const materials = saveSampleMaterials(store);
    for (let i = 0; i < 3; i++)
      beginPrint({ store }, printRequestSchema.parse({ ...materials, name: `${i}`, exposureSeconds: 60 }));
    const small = {
      ...store,
      prints: { ...store.prints, list: (filter: object) => store.prints.list({ ...filter, limit: 1 }) },
    };
    expect(everyPrint({ store: small })).toHaveLength(3);
    expect(everyTest({ store })).toEqual([]);
  });
});

describe("the log of a year", () => {
  it("holds that year's tests and prints, oldest first, its ends included and no other year's", async () => {
    const { store } = await studio();
    expect(logOfYear({ store }, 2024)).toMatchObject([{ kind: "test", day: "2024-12-31", seconds: 240 }]);
    expect(logOfYear({ store }, 2025)).toMatchObject([{ kind: "test", day: "2025-01-01", name: "New box" }]);
    expect(logOfYear({ store }, thisYear)).toMatchObject([
      { kind: "print", name: "Fern", who: "Ada", outcome: "right" },
    ]);
    expect(yearsOfLog({ store })).toEqual([thisYear, 2025, 2024]);
    expect(rowsOf(yearLogCsv({ store }, 2024))).toMatchObject([{ day: "2024-12-31", kind: "test", seconds: "240" }]);
  });

  it.skipIf(!hasPoppler)("is printed with the studio's name, and with none", async () => {
    const { store } = await studio();
    nameStudio({ store }, { name: "Studio North" });
    const named = pdfFacts(await makeYearLog({ store }, thisYear, new Date("2026-05-01T10:00:00Z")));
    for (const words of ["Studio North: log of", "Fern", "Ada", "10:00", "right", "Printed on 1 May 2026"])
      expect(named.text).toContain(words);
    const empty = pdfFacts(await yearLogPdf({ title: "Log of 2020", summary: "nothing", rows: [], footing: "end" }));
    expect(empty.text).toContain("Log of 2020");
  });

  it.skipIf(!hasPoppler)("of a busy year goes on over several sheets and loses no row", async () => {
    const rows = Array.from({ length: 120 }, (_, i) => ({
      day: "1 May 2026",
      kind: "print",
      what: `print-${i}`,
      materials: "Paper, Blue, Box",
      time: "10:00",
      outcome: "right",
      who: "Ada",
    }));
    const { text, info } = pdfFacts(await yearLogPdf({ title: "Log", summary: "", rows, footing: "" }));
    for (const { what } of rows) expect(text).toMatch(new RegExp(`\\b${what}\\b`));
    expect(Number(/Pages:\s+(\d+)/.exec(info)?.[1])).toBeGreaterThan(1);
  });
});

describe("the studio's name", () => {
  it("is empty at first, and can be given and taken away", () => {
    const { store } = testApp();
    expect(studioOf({ store })).toEqual({ name: "" });
    expect(nameStudio({ store }, { name: "North" })).toEqual({ name: "North" });
    expect(nameStudio({ store }, { name: "" })).toEqual({ name: "" });
  });
});
