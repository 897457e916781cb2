// The house's own source, read as the compiler reads it: for the tests that hold the rules of the house.
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve, sep } from "node:path";
import ts from "typescript";
import { rootDir } from "#src/settings.ts";

/** Every TypeScript file below folders of the house, as paths from its root. */
export function sourceFiles(...folders: readonly string[]): string[] {
  return folders.flatMap((folder) =>
    readdirSync(join(rootDir, folder), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
      .map((entry) => relative(rootDir, join(entry.parentPath, entry.name)).split(sep).join("/")),
  );
}

const trees = new Map<string, ts.SourceFile>();

/** A file's syntax tree. */
export function syntaxOf(file: string): ts.SourceFile {
  const known = trees.get(file);
  if (known !== undefined) return known;
  const tree = ts.createSourceFile(file, readFileSync(join(rootDir, file), "utf8"), ts.ScriptTarget.Latest, true);
  trees.set(file, tree);
  return tree;
}

/** What `find` makes of every node of a file, in reading order. */
export function inEveryNode<Found>(file: string, find: (node: ts.Node) => readonly Found[]): Found[] {
  const found: Found[] = [];
  const visit = (node: ts.Node): void => {
    found.push(...find(node));
    ts.forEachChild(node, visit);
  };
  visit(syntaxOf(file));
  return found;
}

export interface Import {
  readonly from: string;
  /** As written: "#shared/errors.ts", "./form.ts", "zod", "node:fs". */
  readonly specifier: string;
  /** The file of the house, from its root; null for a package or Node's own. */
  readonly to: string | null;
  /** Nothing of it is left when the program runs. */
  readonly isType: boolean;
  /** What is taken by name, as it is called there. */
  readonly names: readonly string[];
}

/** Every import, export from, and import() of a file. */
export function importsOf(file: string): Import[] {
  return inEveryNode(file, (node) => {
    const found = importIn(node);
    if (found === null) return [];
    const { specifier } = found;
    const isOfHouse = specifier.startsWith("#") || specifier.startsWith(".");
    const path = specifier.startsWith("#") ? specifier.slice(1) : join(dirname(file), specifier);
    const to = isOfHouse ? relative(rootDir, resolve(rootDir, path)).split(sep).join("/") : null;
    return [{ from: file, to, ...found }];
  });
}

function importIn(node: ts.Node): Pick<Import, "specifier" | "isType" | "names"> | null {
  if (ts.isImportDeclaration(node)) return importDeclared(node);
  if (ts.isExportDeclaration(node) && node.moduleSpecifier !== undefined)
    return { specifier: textOf(node.moduleSpecifier), isType: node.isTypeOnly, names: [] };
  if (!ts.isCallExpression(node) || node.expression.kind !== ts.SyntaxKind.ImportKeyword) return null;
  const [first] = node.arguments;
  return first !== undefined && ts.isStringLiteral(first) ? { specifier: first.text, isType: false, names: [] } : null;
}

function importDeclared(node: ts.ImportDeclaration): Pick<Import, "specifier" | "isType" | "names"> {
  const clause = node.importClause;
  const bindings = clause?.namedBindings;
  const named = bindings !== undefined && ts.isNamedImports(bindings) ? [...bindings.elements] : [];
  const areTypes = clause?.name === undefined && named.length > 0 && named.every((each) => each.isTypeOnly);
  return {
    specifier: textOf(node.moduleSpecifier),
    isType: clause?.phaseModifier === ts.SyntaxKind.TypeKeyword || areTypes,
    names: named.map(({ name, propertyName }) => (propertyName ?? name).text),
  };
}

/** The grammar allows any expression where a module is named; the language only text. */
function textOf(specifier: ts.Expression): string {
  return ts.isStringLiteral(specifier) ? specifier.text : "";
}

/** A declaration that a file exports by name. */
export interface Exported {
  readonly name: string;
  readonly isFunction: boolean;
}

/** What a file exports by name, types too. */
export function exportsOf(file: string): Exported[] {
  return syntaxOf(file).statements.flatMap((statement): Exported[] => {
    if (!isExported(statement)) return [];
    if (ts.isVariableStatement(statement))
      return statement.declarationList.declarations.flatMap(({ name, initializer }) =>
        ts.isIdentifier(name)
          ? [{ name: name.text, isFunction: initializer !== undefined && ts.isArrowFunction(initializer) }]
          : [],
      );
    const isNamed =
      ts.isFunctionDeclaration(statement) ||
      ts.isClassDeclaration(statement) ||
      ts.isInterfaceDeclaration(statement) ||
      ts.isTypeAliasDeclaration(statement);
    if (!isNamed || statement.name === undefined) return [];
    return [{ name: statement.name.text, isFunction: ts.isFunctionDeclaration(statement) }];
  });
}

function isExported(statement: ts.Statement): boolean {
  const modifiers = ts.canHaveModifiers(statement) ? ts.getModifiers(statement) : undefined;
  return modifiers?.some(({ kind }) => kind === ts.SyntaxKind.ExportKeyword) ?? false;
}

/** Code as the compiler prints it: without comments, so that words about it are not taken for it. */
export function codeOf(file: string): string {
  const printer = ts.createPrinter({ removeComments: true });
  return printer.printFile(syntaxOf(file));
}
