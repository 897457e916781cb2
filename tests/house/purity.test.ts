// The core is a function of its arguments: the compiler keeps out Node and the DOM, this test clock, chance and talk.
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { importsOf, inEveryNode, sourceFiles } from "../support/source-tree.ts";

const core = sourceFiles("shared");
const sources = sourceFiles("src");

/** `Date.now` and the like, as written; null for anything else. */
function memberOf(node: ts.Node): string | null {
  return ts.isPropertyAccessExpression(node) && ts.isIdentifier(node.expression)
    ? `${node.expression.text}.${node.name.text}`
    : null;
}

/** Method that a call names: `status` of `response.status(404)`; null for anything else. */
function methodOf(node: ts.Node): string | null {
  return ts.isCallExpression(node) && ts.isPropertyAccessExpression(node.expression) ? node.expression.name.text : null;
}

/** What of a node has no place in the core. */
function impure(node: ts.Node): string[] {
  const member = memberOf(node);
  if (member !== null && /^(Date\.now|Math\.random|(performance|console|process|crypto)\..*)$/.test(member))
    return [member];
  if (ts.isNewExpression(node) && node.expression.getText() === "Date" && (node.arguments ?? []).length === 0)
    return ["new Date() without an instant"];
  if (node.kind === ts.SyntaxKind.AnyKeyword) return ["any"];
  if (ts.isEnumDeclaration(node)) return ["an enum"];
  const isDefault =
    ts.isExportAssignment(node) ||
    (ts.canHaveModifiers(node) && ts.getModifiers(node)?.some(({ kind }) => kind === ts.SyntaxKind.DefaultKeyword));
  return isDefault === true ? ["a default export"] : [];
}

describe("the core", () => {
  it("knows impure code when it sees some", () => {
    const file = ts.createSourceFile(
      "made-up.ts",
      "export enum A { B }\nexport default [Date.now(), new Date(), Math.random(), console.log(), {} as any];",
      ts.ScriptTarget.Latest,
      true,
    );
    const found: string[] = [];
    const visit = (node: ts.Node): void => {
      found.push(...impure(node));
      ts.forEachChild(node, visit);
    };
    visit(file);
    expect(found.sort()).toEqual([
      "Date.now",
      "Math.random",
      "a default export",
      "an enum",
      "any",
      "console.log",
      "new Date() without an instant",
    ]);
  });

  it.each(core)("%s is pure", (file) => {
    expect(inEveryNode(file, impure)).toEqual([]);
  });

  it("takes only the schemas' library and the statistics libraries from outside", () => {
    const packages = new Set(core.flatMap(importsOf).flatMap(({ to, specifier }) => (to === null ? [specifier] : [])));
    const known = ["zod", "ml-regression", "simple-statistics"];
    expect([...packages].filter((name) => !known.includes(name))).toEqual([]);
    expect(packages.size).toBe(known.length);
  });
});

describe("who may do what", () => {
  const doing = (what: (node: ts.Node) => boolean): string[] =>
    sources.filter((file) => inEveryNode(file, (node) => (what(node) ? [node] : [])).length > 0);

  it("the environment is read by settings.ts alone", () => {
    expect(doing((node) => memberOf(node) === "process.env")).toEqual(["src/settings.ts"]);
  });

  it("statuses of HTTP are written by the web alone", () => {
    const writing = doing((node) => methodOf(node) === "status");
    expect(writing.length).toBeGreaterThan(10);
    expect(writing.filter((file) => !file.startsWith("src/web/"))).toEqual([]);
  });

  it("transactions are opened by the acts of the studio and the store alone", () => {
    const opening = doing((node) => methodOf(node) === "transaction");
    expect(opening.length).toBeGreaterThan(5);
    expect(opening.filter((file) => !/^src\/(studio|store)\//.test(file))).toEqual([]);
  });

  it("how a number is written is said in shared/format alone", () => {
    const rounding = (file: string): boolean =>
      inEveryNode(file, (node) => (["toFixed", "toPrecision"].includes(methodOf(node) ?? "") ? [node] : [])).length > 0;
    const files = [...core, ...sources].filter(rounding);
    expect(files.filter((file) => !file.startsWith("shared/format/"))).toEqual([]);
    expect(files.length).toBeGreaterThan(0);
    const views = readdirSync(join(rootDir, "views"), { recursive: true, encoding: "utf8" })
      .filter((name) => name.endsWith(".ejs"))
      .filter((name) => /\.to(Fixed|Precision)\(/.test(readFileSync(join(rootDir, "views", name), "utf8")));
    expect(views).toEqual([]);
  });
});
