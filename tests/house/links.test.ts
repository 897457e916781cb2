// Links between the pages of the documentation lead somewhere.
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";

function pagesIn(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) return pagesIn(path);
    return name.endsWith(".md") ? [path] : [];
  });
}

const pages = [join(rootDir, "README.md"), join(rootDir, "DEVELOPERS.md"), ...pagesIn(join(rootDir, "docs"))];
const link = /!?\[[^\]]*\]\((?<target>[^)\s]+)\)/g;
const isOutside = (target: string): boolean => /^[a-z]+:/.test(target);

function linksOf(page: string): string[] {
  return [...readFileSync(page, "utf8").matchAll(link)].map((match) => match.groups!["target"]!);
}

/** The anchor that a heading gets: small letters, hyphens for spaces, no punctuation. */
function anchorsOf(page: string): string[] {
  return [...readFileSync(page, "utf8").matchAll(/^#+ (?<words>.+)$/gm)].map((match) =>
    match
      .groups!["words"]!.toLowerCase()
      .replace(/[^\p{L}\p{N} _-]/gu, "")
      .replaceAll(" ", "-"),
  );
}

describe("the documentation", () => {
  it("has pages and links to check", () => {
    expect(pages.length).toBeGreaterThan(8);
    expect(pages.flatMap(linksOf).length).toBeGreaterThan(10);
  });

  it.each(pages.map((page) => [relative(rootDir, page), page] as const))(
    "%s links only to what is there",
    (_name, page) => {
      const dead = linksOf(page).filter((target) => {
        if (isOutside(target)) return false;
        const [path = "", anchor] = target.split("#");
        const file = path === "" ? page : join(dirname(page), path);
        if (!existsSync(file)) return true;
        return anchor !== undefined && file.endsWith(".md") && !anchorsOf(file).includes(anchor);
      });
      expect(dead).toEqual([]);
    },
  );

  it("DEVELOPERS.md calls no file by a short name that none has", () => {
    const text = readFileSync(join(rootDir, "DEVELOPERS.md"), "utf8");
    const named = [...text.matchAll(/`(?:[\w-]+\/)*(?<name>[\w.-]+\.ts)`/g)].map((match) => match.groups!["name"]!);
    const there = new Set(
      ["src", "shared", "samples", "tests"].flatMap((folder) =>
        readdirSync(join(rootDir, folder), { recursive: true, withFileTypes: true }).map((entry) => entry.name),
      ),
    );
    expect(named.length).toBeGreaterThan(40);
    expect(named.filter((name) => !there.has(name))).toEqual([]);
  });

  it("DEVELOPERS.md names only files that are there", () => {
    const text = readFileSync(join(rootDir, "DEVELOPERS.md"), "utf8");
    const named = [...text.matchAll(/`(?<path>(?:src|shared|samples|tests|views|docs|static)\/[\w./-]+)`/g)].map(
      (match) => match.groups!["path"]!,
    );
    expect(named.length).toBeGreaterThan(30);
    expect(named.filter((path) => !existsSync(join(rootDir, path)))).toEqual([]);
  });
});
