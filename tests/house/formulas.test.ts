// Every formula can be found: a row by its trade name, a source that is explained, a test that is there.
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";

const reference = join(rootDir, "docs", "reference");
const formulas = readdirSync(join(reference, "formulas"))
  .map((name) => readFileSync(join(reference, "formulas", name), "utf8"))
  .join("\n");
const sources = readFileSync(join(reference, "sources.md"), "utf8");
const coreFiles = readdirSync(join(rootDir, "shared"), { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
  .map((entry) => relative(rootDir, join(entry.parentPath, entry.name)));

/** First word of each `Source:` that is a key, and not "common practice, no source", "from memory" or plain words. */
function keysIn(text: string): string[] {
  return [...text.matchAll(/Source: ([A-Za-z0-9-]+)/g)]
    .map((match) => match[1] ?? "")
    .filter((key) => /[0-9]|-/.test(key));
}

describe("formulas", () => {
  const withSource = coreFiles.filter(
    (file) => !file.startsWith("shared/schema/") && /Source: /.test(readFileSync(join(rootDir, file), "utf8")),
  );

  it.each(withSource)("%s has a row by its trade name", (file) => {
    expect(formulas).toContain(file);
  });

  it.each(withSource)("%s names only sources that are explained", (file) => {
    const unknown = keysIn(readFileSync(join(rootDir, file), "utf8")).filter((key) => !sources.includes(key));
    expect(unknown).toEqual([]);
  });

  it("name only files and tests that are there", () => {
    const named = [...formulas.matchAll(/`?((?:shared|src|tests)\/[\w./-]+\.ts)`?/g)].map((match) => match[1] ?? "");
    expect(named.length).toBeGreaterThan(60);
    expect(named.filter((file) => !existsSync(join(rootDir, file)))).toEqual([]);
  });
});
