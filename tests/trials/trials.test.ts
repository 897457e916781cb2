// The three trials in short; by hand they run long (docs/reference/promises.md).
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";

function run(name: string, numbers: readonly string[]): { status: number | null; summary: string; whole: string } {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ["--import", "tsx", join(rootDir, "tests", "trials", `${name}.ts`), ...numbers],
    { cwd: rootDir, encoding: "utf8", timeout: 170_000 },
  );
  return { status, summary: stdout.trim().split("\n").at(-1) ?? "", whole: stdout + stderr };
}

describe("a short trial", { timeout: 180_000 }, () => {
  it("of kills loses nothing that was acknowledged", () => {
    const { status, summary, whole } = run("durability", ["--kills", "6"]);
    expect(summary).toMatch(/^durability: seed \d+, 6 kills \(1 while migrating\), .* 0 leftovers, 0 lost or wrong$/);
    expect(status, whole).toBe(0);
  });

  it("of saving everything and restoring it while others work brings all of it back", () => {
    const { status, whole } = run("durability", ["--kills", "0", "--tests", "30"]);
    expect(whole).toMatch(/^backup: seed \d+, 30 tests, .* 0 lost or wrong$/m);
    expect(whole).not.toMatch(/whole elsewhere 0 of/);
    expect(status, whole).toBe(0);
  });

  it("of mutated requests and broken pictures finds no mistake of ours", () => {
    const { status, summary, whole } = run("fuzz", ["--requests", "300", "--pictures", "12"]);
    expect(summary).toMatch(/^fuzz: seed \d+, 300 requests and 12 pictures .* 0 troubles$/);
    expect(status, whole).toBe(0);
  });

  it("of several people at once has no failure", () => {
    const { status, summary, whole } = run("load", ["--people", "4", "--minutes", "0.2"]);
    expect(summary).toMatch(/^load: seed \d+, 4 people, 0\.2 minutes, 0 failures, /);
    expect(status, whole).toBe(0);
  });
});
