// The top of the house, and the pages of reference that must keep up with the code.
import { execFileSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { describe, expect, it } from "vitest";
import { readSettings, rootDir } from "#src/settings.ts";
import { knownRoutes } from "#src/web/api/api-end.ts";
import { statusByCode } from "#src/web/problem.ts";
import { testApp } from "../support/test-app.ts";

const reference = (name: string): string => readFileSync(join(rootDir, "docs", "reference", name), "utf8");

describe("the top of the house", () => {
  const allowed = new Set([
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "CITATION.cff",
    "SECURITY.md",
    "package.json",
    "package-lock.json",
    "tsconfig.json",
    "src",
    "views",
    "static",
    "tests",
    "samples",
    "shared",
    "docs",
    "vitest.config.ts",
    "eslint.config.js",
  ]);

  it.runIf(existsSync(join(rootDir, ".git")))("holds nothing but what belongs there", () => {
    const tracked = execFileSync("git", ["ls-tree", "--name-only", "HEAD"], { cwd: rootDir, encoding: "utf8" })
      .split("\n")
      .filter((name) => name !== "");
    expect(tracked.filter((name) => !allowed.has(name) && !name.startsWith("."))).toEqual([]);
  });
});

describe("folders of source files", () => {
  const most = 24;
  const folders = new Map<string, number>();
  for (const part of ["src", "shared", "tests", "samples"])
    for (const entry of readdirSync(join(rootDir, part), { recursive: true, withFileTypes: true }))
      if (entry.isFile() && /\.m?[jt]s$/.test(entry.name))
        folders.set(relative(rootDir, entry.parentPath), (folders.get(relative(rootDir, entry.parentPath)) ?? 0) + 1);

  it(`hold at most ${most} each: past that there is a second room in it`, () => {
    expect(folders.size).toBeGreaterThan(60);
    expect([...folders].filter(([, files]) => files > most)).toEqual([]);
  });
});

describe("the reference pages", () => {
  it("errors.md has a row for every code, with its status", () => {
    const rows = new Map(
      [...reference("errors.md").matchAll(/^\| `([\w-]+)` \| (\d{3}) \|/gm)].map((match) => [
        match[1],
        Number(match[2]),
      ]),
    );
    expect(Object.fromEntries(rows)).toEqual(statusByCode);
  });

  it("settings.md has every setting that is read", () => {
    const asked = new Set<string>();
    const environment = new Proxy(
      {},
      {
        get: (_target, name) => {
          asked.add(String(name));
          return undefined;
        },
      },
    );
    readSettings(environment);
    const documented = [...reference("settings.md").matchAll(/^\| `([A-Z_]+)` \|/gm)].map((match) => match[1]);
    expect([...documented].sort()).toEqual([...asked].sort());
  });

  it("routes.md has every route of the API, and none that is not there", () => {
    const routes = knownRoutes(testApp().app)
      .filter((route) => route.path.startsWith("/api/"))
      .map((route) => `${route.method} ${route.path.replace(/:(\w+)/g, "{$1}")}`);
    const documented = [...reference("routes.md").matchAll(/^\| `([A-Z]+ \/api\/[^`?]+)/gm)].map((match) => match[1]);
    expect([...new Set(routes)].sort()).toEqual([...new Set(documented)].sort());
  });
});
