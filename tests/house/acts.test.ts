// Every act of the studio and every output is called by a test, and tests stand where their subject stands.
import { existsSync } from "node:fs";
import { join } from "node:path";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { exportsOf, sourceFiles, syntaxOf } from "../support/source-tree.ts";

/** Names of the functions that a file exports, however they are written. */
function exportedFunctions(file: string): string[] {
  return exportsOf(file).flatMap(({ name, isFunction }) => (isFunction ? [name] : []));
}

/** What a test imports and calls, as `file name`; a name that is only imported, or only a type, counts for nothing. */
function calledBy(file: string): string[] {
  const source = syntaxOf(file);
  const homes = new Map<string, string>();
  for (const statement of source.statements) {
    if (!ts.isImportDeclaration(statement) || !ts.isStringLiteral(statement.moduleSpecifier)) continue;
    const bindings = statement.importClause?.namedBindings;
    if (bindings === undefined || !ts.isNamedImports(bindings)) continue;
    const home = statement.moduleSpecifier.text.replace(/^#/, "");
    for (const { name, propertyName } of bindings.elements)
      homes.set(name.text, `${home} ${(propertyName ?? name).text}`);
  }
  const called: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isCallExpression(node) && ts.isIdentifier(node.expression)) {
      const home = homes.get(node.expression.text);
      if (home !== undefined) called.push(home);
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return called;
}

const testFiles = sourceFiles("tests").filter((file) => file.endsWith(".test.ts"));
const called = new Set(testFiles.filter((file) => !file.startsWith("tests/house/")).flatMap(calledBy));

describe.each(["src/studio", "src/output"])("%s", (folder) => {
  const functions = sourceFiles(folder).map((file) => ({ file, names: exportedFunctions(file) }));

  it("exports functions at all, so that this test looks at something", () => {
    expect(functions.flatMap(({ names }) => names).length).toBeGreaterThan(10);
  });

  const uncalled = (each: (typeof functions)[number]): string[] =>
    each.names.filter((name) => !called.has(`${each.file} ${name}`));

  it.each(functions)("$file: each of $names is called by a test", (each) => {
    expect(uncalled(each), "call it in a test").toEqual([]);
  });
});

describe("tests mirror the tree", () => {
  /** Folder of tests, and the folder whose shape it has. */
  const mirrors = {
    shared: "shared",
    ...Object.fromEntries(["imaging", "output", "store", "studio", "web"].map((part) => [part, `src/${part}`])),
  };

  it.each(Object.entries(mirrors))("tests/%s has no folder that %s has not", (tests, subject) => {
    const folders = new Set(
      sourceFiles(`tests/${tests}`)
        .map((file) => file.split("/").slice(2, -1).join("/"))
        .filter((path) => path !== ""),
    );
    expect([...folders].filter((path) => !existsSync(join(rootDir, subject, path)))).toEqual([]);
  });
});
