// The database's history: every step's file is in the list, under its own number, in one rising order.
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { migrations } from "#src/store/migrations/all.ts";

const numbered = readdirSync(join(rootDir, "src", "store", "migrations"))
  .map((name) => /^(\d{4})-(.+)\.ts$/.exec(name))
  .filter((found) => found !== null)
  .map(([, number, name]) => ({ number: Number(number), name }));

describe("the migrations", () => {
  it("have rising numbers, none of them twice", () => {
    const numbers = migrations.map(({ number }) => number);
    expect(numbers).toEqual([...new Set(numbers)].sort((a, b) => a - b));
  });

  it("are the numbered files, each by the number and name that it carries", () => {
    expect(numbered.length).toBeGreaterThan(8);
    expect(migrations.map(({ number, name }) => ({ number, name }))).toEqual(numbered);
  });
});
