// The core is a function of its arguments: the compiler keeps out Node and the DOM, this test clock, chance and talk.
import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";

const files = readdirSync(join(rootDir, "shared"), { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
  .map((entry) => relative(rootDir, join(entry.parentPath, entry.name)));

const forbidden: readonly (readonly [string, RegExp])[] = [
  ["Date.now()", /\bDate\.now\b/],
  ["new Date() without an instant", /\bnew Date\(\s*\)/],
  ["Math.random()", /\bMath\.random\b/],
  ["performance.now()", /\bperformance\./],
  ["console", /\bconsole\./],
  ["process", /\bprocess\./],
  ["a Node import", /["']node:/],
  ["crypto", /\bcrypto\./],
  ["any", /:\s*any\b|<any>|\bas any\b/],
  ["enum", /^\s*(?:export\s+)?(?:const\s+)?enum\b/m],
  ["a default export", /\bexport default\b/],
];

function codeOf(file: string): string {
  return readFileSync(join(rootDir, file), "utf8")
    .replace(/\/\*[\s\S]*?\*\//g, "")
    .replace(/(^|\s)\/\/.*$/gm, "$1");
}

describe("the core", () => {
  it.each(files)("%s is pure", (file) => {
    const code = codeOf(file);
    expect(forbidden.filter(([, pattern]) => pattern.test(code)).map(([name]) => name)).toEqual([]);
  });

  it("takes only the schemas' library and the statistics libraries from outside", () => {
    const packages = new Set(
      files.flatMap((file) => [...codeOf(file).matchAll(/from "([^".#\s][^"\n]*)";/g)].map((match) => match[1] ?? "")),
    );
    const known = ["zod", "ml-regression", "simple-statistics"];
    expect([...packages].filter((name) => !known.includes(name))).toEqual([]);
  });
});

describe("the environment", () => {
  it("is read by settings.ts alone", () => {
    const sources = readdirSync(join(rootDir, "src"), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
      .map((entry) => relative(rootDir, join(entry.parentPath, entry.name)));
    expect(sources.filter((file) => file !== "src/settings.ts" && /\bprocess\.env\b/.test(codeOf(file)))).toEqual([]);
  });

  it("HTTP status codes are known to problem.ts and the routes that succeed alone", () => {
    const sources = readdirSync(join(rootDir, "src"), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
      .map((entry) => relative(rootDir, join(entry.parentPath, entry.name)));
    expect(
      sources.filter((file) => !file.startsWith("src/web/") && /\.status\(\s*\d{3}\s*\)/.test(codeOf(file))),
    ).toEqual([]);
  });

  it("transactions are opened by the acts of the studio alone", () => {
    const sources = readdirSync(join(rootDir, "src"), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
      .map((entry) => relative(rootDir, join(entry.parentPath, entry.name)));
    expect(
      sources.filter((file) => !/^src\/(studio|store)\//.test(file) && /\.transaction\(/.test(codeOf(file))),
    ).toEqual([]);
  });
});
