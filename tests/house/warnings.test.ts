// The page of warnings is complete: every code that the source can say about a picture, print or plan has a row, and no
// other.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { rootDir } from "#src/settings.ts";
import { inEveryNode, sourceFiles } from "../support/source-tree.ts";

type Kind = "warning" | "flag" | "verdict" | "left out";

interface FoundCode {
  readonly kind: Kind;
  /** Codes that are put together end in a star, such as `other-*`. */
  readonly code: string;
  readonly file: string;
}

/** Union types whose members are answered as verdicts or as reasons why a step was left out of a curve. */
const unions: Readonly<Record<string, Kind>> = { Verdict: "verdict", SunVerdict: "verdict", leftOut: "left out" };

/**
 * Every string that an expression may stand for: itself, both sides of a choice, a template with its holes as stars.
 */
function textsOf(node: ts.Expression): string[] {
  if (ts.isStringLiteralLike(node)) return [node.text];
  if (ts.isParenthesizedExpression(node) || ts.isAsExpression(node)) return textsOf(node.expression);
  if (ts.isConditionalExpression(node)) return [...textsOf(node.whenTrue), ...textsOf(node.whenFalse)];
  if (ts.isTemplateExpression(node)) return [`${node.head.text}*`];
  return [];
}

/** Every code of a union of facts, such as `{ readonly code: "print-wet" } | { readonly code: "reversal"; … }`. */
function codesOfType(node: ts.TypeNode): string[] {
  if (ts.isUnionTypeNode(node)) return node.types.flatMap(codesOfType);
  if (ts.isLiteralTypeNode(node) && ts.isStringLiteral(node.literal)) return [node.literal.text];
  if (!ts.isTypeLiteralNode(node)) return [];
  return node.members.flatMap((member) =>
    ts.isPropertySignature(member) && member.name.getText() === "code" && member.type ? codesOfType(member.type) : [],
  );
}

type Told = readonly { readonly kind: Kind; readonly code: string }[];
const told = (kind: Kind, codes: readonly string[]): Told => codes.map((code) => ({ kind, code }));

/** `{ code, message }`. What a schema says of a request has a path, or is "custom": an error, on the page of errors. */
function codesInMessage(node: ts.Node): Told {
  if (!ts.isObjectLiteralExpression(node)) return [];
  const named = new Map(
    node.properties.flatMap((each) => (each.name === undefined ? [] : [[each.name.getText(), each] as const])),
  );
  const code = named.get("code");
  if (code === undefined || !ts.isPropertyAssignment(code) || !named.has("message") || named.has("path")) return [];
  return told(
    "warning",
    textsOf(code.initializer).filter((text) => text !== "custom"),
  );
}

/** Warnings found by the core and imaging: the codes of `type …Warning` in the `…-facts.ts` beside the finder. */
function codesInFacts(node: ts.Node, path: string): Told {
  return ts.isTypeAliasDeclaration(node) && node.name.text.endsWith("Warning") && path.endsWith("-facts.ts")
    ? told("warning", codesOfType(node.type))
    : [];
}

/** `say(code, …)` and `flags.push(flag)`. */
function codesInCall(node: ts.Node): Told {
  if (!ts.isCallExpression(node)) return [];
  const { expression } = node;
  const [first, second] = node.arguments;
  if (first === undefined) return [];
  if (ts.isIdentifier(expression) && expression.text === "say")
    return second === undefined ? [] : told("warning", textsOf(first));
  if (!ts.isPropertyAccessExpression(expression) || expression.name.text !== "push") return [];
  return expression.expression.getText() === "flags" ? told("flag", textsOf(first)) : [];
}

/** The names in `noteMessages`. */
function codesInNotes(node: ts.Node): Told {
  if (!ts.isVariableDeclaration(node) || node.name.getText() !== "noteMessages") return [];
  if (node.initializer === undefined || !ts.isObjectLiteralExpression(node.initializer)) return [];
  return told(
    "warning",
    node.initializer.properties.flatMap(({ name }) =>
      name !== undefined && (ts.isStringLiteral(name) || ts.isIdentifier(name)) ? [name.text] : [],
    ),
  );
}

/** Members of the unions named above. */
function codesInUnion(node: ts.Node): Told {
  if (!ts.isTypeAliasDeclaration(node) && !ts.isPropertySignature(node)) return [];
  const kind = unions[node.name.getText()];
  if (kind === undefined || node.type === undefined || !ts.isUnionTypeNode(node.type)) return [];
  return told(
    kind,
    node.type.types.flatMap((type) =>
      ts.isLiteralTypeNode(type) && ts.isStringLiteral(type.literal) ? [type.literal.text] : [],
    ),
  );
}

function codesOf(path: string): FoundCode[] {
  const finders = [codesInMessage, codesInFacts, codesInCall, codesInNotes, codesInUnion];
  return inEveryNode(path, (node) =>
    finders.flatMap((find) => find(node, path).map(({ kind, code }) => ({ kind, code, file: path }))),
  );
}

const headings: Readonly<Record<Kind, string>> = {
  warning: "## Warnings",
  flag: "## Flags of a step",
  "left out": "## Steps left out of a curve",
  verdict: "## Verdicts",
};
const page = readFileSync(join(rootDir, "docs", "reference", "warnings.md"), "utf8");

/** Rows of one part of the page: code, what it means, what to do. */
function rowsOf(kind: Kind): Map<string, { meaning: string; advice: string }> {
  const from = page.indexOf(`${headings[kind]}\n`);
  const to = page.indexOf("\n## ", from + 1);
  return new Map(
    [...page.slice(from, to === -1 ? undefined : to).matchAll(/^\| `([\w*-]+)` \| (.*?) \| (.*?) \|$/gm)].map(
      ([, code = "", meaning = "", advice = ""]) => [code, { meaning, advice }],
    ),
  );
}

const found = sourceFiles("shared", "src")
  .filter((file) => !file.startsWith("src/browser/"))
  .flatMap(codesOf);

describe.each(["warning", "flag", "left out", "verdict"] as const)("warnings.md, %ss", (kind) => {
  const codes = [...new Set(found.filter((each) => each.kind === kind).map(({ code }) => code))];
  const rows = rowsOf(kind);
  const isCovered = (code: string): boolean =>
    code.endsWith("*") ? [...rows.keys()].some((row) => row.startsWith(code.slice(0, -1))) : rows.has(code);
  const isFound = (row: string): boolean =>
    codes.some((code) => (code.endsWith("*") ? row.startsWith(code.slice(0, -1)) : row === code));

  it("has a row for every code of the source", () => {
    expect(codes.length).toBeGreaterThan(2);
    expect(codes.filter((code) => !isCovered(code))).toEqual([]);
  });

  it("has no row for a code that nothing says", () => {
    expect([...rows.keys()].filter((row) => !isFound(row))).toEqual([]);
  });

  it("says of each what it means and what to do", () => {
    expect(
      [...rows].filter(([, { meaning, advice }]) => meaning.length < 15 || advice.length < 10).map(([code]) => code),
    ).toEqual([]);
  });
});
