// Imports point one way: main -> app -> web -> studio -> {imaging, store, output} -> shared, and in order inside
// shared.
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { exportsOf, importsOf, inEveryNode, sourceFiles } from "../support/source-tree.ts";

const files = sourceFiles("src", "shared");
const everyImport = files.flatMap(importsOf);
/** Imports between files of the house; packages and Node's own are left out. */
const imports = everyImport.flatMap(({ to, ...rest }) => (to === null ? [] : [{ ...rest, to }]));

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

/** Whether a file calls `Router()`, rather than only taking its type. */
function makesRouter(file: string): boolean {
  const calls = inEveryNode(file, (node) =>
    ts.isCallExpression(node) && ts.isIdentifier(node.expression) ? [node.expression.text] : [],
  );
  return calls.includes("Router");
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
    const opening = files.filter(
      (file) =>
        inEveryNode(file, (node) => (ts.isIdentifier(node) && node.text === "forWriting" ? [node] : [])).length > 0,
    );
    expect(opening.filter((file) => !file.startsWith("src/studio/"))).toEqual([]);
    expect(opening.length).toBeGreaterThan(10);
    const wholeStores = imports.filter(
      ({ from, to, names }) =>
        from.startsWith("src/web/") && to === "src/store/store.ts" && names.some((name) => name === "Store"),
    );
    expect(wholeStores.map(({ from }) => from)).toEqual([]);
  });

  it("a route file gives its routes and nothing else, so that no room takes another's routes for a library", () => {
    const routeFiles = everyImport
      .filter(({ from, specifier, names }) => {
        return from.startsWith("src/web/") && specifier === "express" && names.includes("Router");
      })
      .map(({ from }) => from)
      .filter((file) => makesRouter(file));
    expect(routeFiles.length).toBeGreaterThan(20);
    const wrong = routeFiles.flatMap((file) =>
      exportsOf(file)
        .filter(({ name }) => !name.endsWith("Routes"))
        .map(({ name }) => `${file}: ${name}`),
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
    const wrong = imports
      .filter(({ specifier }) => specifier.startsWith("../") && !specifier.endsWith("/package.json"))
      .filter(({ from, to }) => to.split("/")[0] !== from.split("/")[0])
      .map(({ from, specifier }) => `${from}: ${specifier}`);
    expect(wrong).toEqual([]);
  });
});
