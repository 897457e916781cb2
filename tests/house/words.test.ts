// Facts before words: core, imaging and the studio's acts hold no sentence for people; shared/words/ makes them all.
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { sourceFiles, syntaxOf } from "../support/source-tree.ts";

/** Words in a row that make a sentence: at least this many, at least one of them not a name in capitals. */
const sentenceWords = 4;
/** A word of a sentence; `left-out`, `cell.u` and `image/png` are none. */
const plainWord = /^["'(]?[A-Za-z][a-z']*[,.;:?!)"']*$/;

function isSentence(text: string): boolean {
  const words = text.split(/\s+/).filter((word) => plainWord.test(word));
  return words.length >= sentenceWords && /[a-z]{2}/.test(text);
}

/** Files whose texts stay, and why. */
const exceptions: Readonly<Record<string, string>> = {
  "shared/prints/procedure.ts": "a first run sheet that becomes the user's own record, edited as text",
  "shared/coating/recipe.ts": "first recipes that become the user's own record, edited as text",
  "shared/correction/negative-form.ts": "labels of a form's choices, not sentences",
  "src/imaging/draw-sheet.ts": "letters drawn on the film, whose alphabet is part of the sheet",
};

/** Text as a person would read it, joined over `+` and its holes as dots; null for anything else. */
function textOf(node: ts.Node): string | null {
  if (ts.isStringLiteralLike(node)) return node.text;
  if (ts.isParenthesizedExpression(node)) return textOf(node.expression);
  if (ts.isTemplateExpression(node)) {
    return [node.head.text, ...node.templateSpans.map((span) => span.literal.text)].join("…");
  }
  if (!ts.isBinaryExpression(node) || node.operatorToken.kind !== ts.SyntaxKind.PlusToken) return null;
  const parts = [textOf(node.left), textOf(node.right)];
  return parts.every((part) => part === null) ? null : parts.map((part) => part ?? "…").join("");
}

/**
 * What a person could read in a file: string literals and templates, their holes as dots. Mistakes of ours are left
 * out.
 */
function sentencesOf(path: string): string[] {
  const file = syntaxOf(path);
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    // A RangeError, TypeError or Error is a mistake of ours: thrown, logged and answered as a bare 500, never read by a
    // printmaker.
    if (ts.isNewExpression(node) && /^((Range|Type)?Error|DOMException)$/.test(node.expression.getText(file))) return;
    const text = textOf(node);
    if (text !== null && isSentence(text)) {
      found.push(text);
      return;
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

const files = sourceFiles("shared", "src/imaging", "src/studio")
  // A schema says in its own words what is wrong with a field; zod carries them to src/web/plain-issues.ts.
  .filter((file) => !file.startsWith("shared/words/") && !file.startsWith("shared/schema/"));

describe("facts before words", () => {
  it("knows a sentence when it sees one", () => {
    expect(isSentence("The print was still wet.")).toBe(true);
    expect(isSentence("left-out")).toBe(false);
    expect(isSentence("published as image/png in v0 u1")).toBe(false);
    expect(sentencesOf("shared/words/tests/advice-words.ts").length).toBeGreaterThan(20);
    // Parts of two words each make a sentence together.
    const joined = ts.factory.createAdd(
      ts.factory.createStringLiteral("The print "),
      ts.factory.createAdd(ts.factory.createIdentifier("was"), ts.factory.createStringLiteral(" still very wet.")),
    );
    expect(isSentence(textOf(joined) ?? "")).toBe(true);
  });

  it.each(files.filter((file) => exceptions[file] === undefined))("%s holds no sentence for people", (file) => {
    expect(sentencesOf(file)).toEqual([]);
  });

  it("has no exception that is not needed", () => {
    expect(Object.keys(exceptions).filter((file) => sentencesOf(file).length === 0)).toEqual([]);
  });
});
