import { describe, expect, it } from "vitest";
import type { SavedEvenness } from "#shared/schema/evenness.ts";
import { evennessTable } from "#src/studio/lamps/evenness-table.ts";

describe("evennessTable", () => {
  it("of two places beside each other, tells the middle of each as shares of width and depth", () => {
    const map: Pick<SavedEvenness, "rows" | "columns" | "stops" | "percent"> = {
      rows: 1,
      columns: 2,
      stops: [0, -1],
      percent: [100, 50],
    };
    expect(evennessTable(map).trim().split("\r\n").slice(1)).toEqual(["0.25,0.5,0,100", "0.75,0.5,-1,50"]);
  });
});
