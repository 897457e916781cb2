// Imports point one way: main -> app -> web -> studio -> {imaging, store, output} -> shared, and in order inside
// shared.
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";

interface Import {
  readonly from: string;
  readonly to: string;
  readonly isType: boolean;
}

const files = ["src", "shared"].flatMap((folder) =>
  readdirSync(join(rootDir, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
    .map((entry) => relative(rootDir, join(entry.parentPath, entry.name))),
);

const importLine =
  /^\s*(?:import|export)\s+(?<type>type\s)?(?:[^"';]*?\sfrom\s+)?"(?<target>[^"]+)"|\bimport\(\s*"(?<dynamic>[^"]+)"/gm;

/** Imports between files of the house; packages and Node's own are left out. */
function importsOf(file: string): Import[] {
  const text = readFileSync(join(rootDir, file), "utf8");
  return [...text.matchAll(importLine)].flatMap((match) => {
    const target = match.groups?.["target"] ?? match.groups?.["dynamic"] ?? "";
    const isType = match.groups?.["type"] !== undefined;
    if (target.startsWith("#")) return [{ from: file, to: target.slice(1), isType }];
    if (target.startsWith("."))
      return [{ from: file, to: relative(rootDir, resolve(rootDir, dirname(file), target)), isType }];
    return [];
  });
}

const imports = files.flatMap(importsOf);

/** What a file of each part of src may import from, besides its own part and shared. */
const allowedParts: Readonly<Record<string, readonly string[]>> = {
  main: ["app", "settings", "version", "imaging", "store", "output", "studio"],
  app: ["web", "studio", "settings", "version"],
  web: ["studio", "store", "imaging", "output", "settings", "version"],
  studio: ["imaging", "store", "output", "settings", "version"],
  imaging: [],
  store: [],
  output: ["settings"],
  settings: [],
  version: [],
  browser: [],
};

/**
 * Folders of shared in the order in which they may build on each other; those of one row know nothing of each other.
 */
const sharedOrder: readonly (readonly string[])[] = [
  ["errors", "limits"],
  ["schema"],
  ["units"],
  ["statistics"],
  ["density"],
  ["tablet", "lamp", "sun", "coating"],
  ["reading"],
  ["curve"],
  ["film", "evenness", "prints"],
  ["studio-model"],
  ["advice", "lookup", "correction"],
  ["format"],
  ["words"],
];

function partOf(file: string): string {
  return (file.split("/")[1] ?? "").replace(/\.ts$/, "");
}

function rankOf(file: string): number {
  return sharedOrder.findIndex((row) => row.includes(partOf(file)));
}

describe("the direction of imports", () => {
  it("reads the files at all", () => {
    expect(files.length).toBeGreaterThan(40);
    expect(imports.length).toBeGreaterThan(files.length);
  });

  it.each(files)("%s imports only what lies before it", (file) => {
    const wrong = imports
      .filter((each) => each.from === file)
      .filter(({ to, isType }) => {
        if (file.startsWith("shared/")) {
          if (!to.startsWith("shared/")) return true;
          if (partOf(file) === partOf(to)) return false;
          if (rankOf(file) === -1 || rankOf(to) === -1) return true;
          if (partOf(to) === "schema") return !isType;
          return rankOf(to) >= rankOf(file);
        }
        if (to.startsWith("shared/") || to === "package.json") return false;
        if (!to.startsWith("src/")) return true;
        return partOf(file) !== partOf(to) && !(allowedParts[partOf(file)] ?? []).includes(partOf(to));
      })
      .map(({ to, isType }) => `${isType ? "type " : ""}${to}`);
    expect(wrong).toEqual([]);
  });

  it("web takes only types from store, imaging and output", () => {
    const wrong = imports.filter(
      ({ from, to, isType }) => from.startsWith("src/web/") && /^src\/(store|imaging|output)\//.test(to) && !isType,
    );
    expect(wrong.map(({ from, to }) => `${from} -> ${to}`)).toEqual([]);
  });

  it("every write is an act of the studio: nobody else opens the store for writing", () => {
    const opening = files.filter((file) => /\bforWriting\b/.test(readFileSync(join(rootDir, file), "utf8")));
    expect(opening.filter((file) => !file.startsWith("src/studio/"))).toEqual([]);
    expect(opening.length).toBeGreaterThan(10);
    const webStores = imports.filter(({ from, to }) => from.startsWith("src/web/") && to === "src/store/store.ts");
    const wholeStores = webStores.filter(({ from }) =>
      /import type \{[^}]*\bStore\b[^}]*\} from "#src\/store\/store\.ts"/.test(
        readFileSync(join(rootDir, from), "utf8"),
      ),
    );
    expect(wholeStores.map(({ from }) => from)).toEqual([]);
  });

  it("a route file gives its routes and nothing else, so that no room takes another's routes for a library", () => {
    const wrong = files
      .filter((file) => file.startsWith("src/web/"))
      .map((file) => ({ file, text: readFileSync(join(rootDir, file), "utf8") }))
      .filter(({ text }) => /^import .*\bRouter\b.* from "express";$/m.test(text) && text.includes("Router()"))
      .flatMap(({ file, text }) =>
        [...text.matchAll(/^export (?:async )?(?:function|const|type|interface|class) (\w+)/gm)]
          .map((match) => match[1] ?? "")
          .filter((name) => !name.endsWith("Routes"))
          .map((name) => `${file}: ${name}`),
      );
    expect(wrong).toEqual([]);
  });

  it("has no circles", () => {
    const next = new Map(
      files.map((file) => [file, imports.filter((each) => each.from === file && !each.isType).map((each) => each.to)]),
    );
    const done = new Set<string>();
    const circles: string[] = [];
    const visit = (file: string, path: readonly string[]): void => {
      if (path.includes(file)) circles.push([...path.slice(path.indexOf(file)), file].join(" -> "));
      else if (!done.has(file)) {
        next.get(file)?.forEach((each) => visit(each, [...path, file]));
        done.add(file);
      }
    };
    files.forEach((file) => visit(file, []));
    expect(circles).toEqual([]);
  });

  it("relative imports stay inside src or shared", () => {
    const wrong = files.flatMap((file) => {
      const text = readFileSync(join(rootDir, file), "utf8");
      return [...text.matchAll(importLine)]
        .map((match) => match.groups?.["target"] ?? "")
        .filter((target) => target.startsWith("../") && !target.endsWith("/package.json"))
        .filter(
          (target) => !relative(rootDir, resolve(rootDir, dirname(file), target)).startsWith(`${file.split("/")[0]}/`),
        )
        .map((target) => `${file}: ${target}`);
    });
    expect(wrong).toEqual([]);
  });
});
