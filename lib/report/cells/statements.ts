import traverse, { type NodePath, type Scope } from "@babel/traverse";
import { Memory } from "../../numerics/memory/mod.ts";
import { parsedCell } from "./parsed-cell.ts";

/** A statement of a notebook's top level. */
export interface Statement {
  /** Code cell it stands in, from 0. */
  cell: number;
  /** Names from the library that it takes. */
  library: Set<string>;
  /** Runs for its effect or its value rather than to name something. */
  shows: boolean;
  /** Parts of it that can differ without each other; a statement that cannot be parted is one. */
  parts: StatementPart[];
}

/** One name or more that a statement gives, with the code that gives it. */
export interface StatementPart {
  /** Names it gives. */
  declares: Set<string>;
  /** Names it takes from outside itself. */
  mentions: Set<string>;
  code: string;
  /** The node that gives the one value that it is taken from: parts with the same share it. */
  value: object;
}

/** What the library's names are called in a notebook. */
interface Imported {
  /** Local name to the library's. */
  names: Map<string, string>;
  /** Local names that stand for the whole library. */
  whole: Set<string>;
}

/**
 * The statements of code cells, in order, with the names that each gives and takes; a cell that
 * cannot be parsed has none.
 *
 * Which names a statement takes from outside itself is the scope analysis of the parser's own
 * library: parameters and variables of a function, and names of types, are not followed.
 */
export function readStatements(cells: readonly string[]): readonly Statement[] {
  return read.get(JSON.stringify(cells), () => {
    const imported: Imported = { names: new Map(), whole: new Set() };
    return cells.flatMap((source, cell) => statementsOf(source, { cell, imported }));
  });
}

/** By the code of all cells: whoever keeps a notebook's results and whoever tells of them ask. */
const read = new Memory<readonly Statement[]>(50);

function statementsOf(
  source: string,
  { cell, imported }: { cell: number; imported: Imported },
): Statement[] {
  const file = parsedCell(source);
  if (!file) return [];
  const statements: Statement[] = [];
  let statement: Statement | undefined;
  const mention = (path: NodePath, name: string) => {
    if (!statement || isOwn(path.scope, name)) return;
    for (const part of statement.parts) {
      if (path.find(({ node }) => node === part.value)) part.mentions.add(name);
    }
    const from = imported.names.get(name);
    if (from) statement.library.add(from);
    if (!imported.whole.has(name) || !path.parentPath?.isMemberExpression()) return;
    const { property } = path.parentPath.node;
    if (property.type === "Identifier") statement.library.add(property.name);
  };
  traverse(file, {
    Statement(path) {
      if (!path.parentPath?.isProgram()) return;
      statement = {
        cell,
        library: new Set(),
        shows: !path.isDeclaration(),
        parts: partsOf(path, source),
      };
      statements.push(statement);
      if (!path.isImportDeclaration()) return;
      readImport(path, imported);
      path.skip();
    },
    ReferencedIdentifier(path) {
      if (path.node.type === "Identifier") mention(path, path.node.name);
    },
    // a name that is written to is rested on as well: `total += 1`
    AssignmentExpression(path) {
      for (const name of Object.keys(path.getBindingIdentifiers())) mention(path, name);
    },
  });
  return statements;
}

/** The parts of a declaration of variables; all else is one. */
function partsOf(path: NodePath, source: string): StatementPart[] {
  if (path.isVariableDeclaration()) {
    return path.get("declarations").flatMap((declarator) => partsOfOne(declarator, source));
  }
  // what a loop or a function names within itself is not given to the notebook
  const names = path.isDeclaration() ? Object.keys(path.getOuterBindingIdentifiers()) : [];
  return [partOf(path.node, names, textOf(source, path.node))];
}

function partsOfOne(declarator: NodePath, source: string): StatementPart[] {
  if (!declarator.isVariableDeclarator()) return [];
  const { node } = declarator;
  const names = node.init && plainProperties(declarator.get("id"));
  if (!names?.length) {
    return [partOf(node, Object.keys(declarator.getBindingIdentifiers()), textOf(source, node))];
  }
  const given = textOf(source, node.init);
  return names.map(([key, name]) => partOf(node, [name], `const { ${key}: ${name} } = ${given}`));
}

function partOf(value: object, names: readonly string[], code: string): StatementPart {
  return { declares: new Set(names), mentions: new Set(), code, value };
}

/** Key and name of each property that is taken out as it is; undefined where one is not. */
function plainProperties(pattern: NodePath): [string, string][] | undefined {
  if (!pattern.isObjectPattern()) return undefined;
  const names: [string, string][] = [];
  for (const property of pattern.node.properties) {
    if (property.type !== "ObjectProperty" || property.computed) return undefined;
    const { key, value } = property;
    if (key.type !== "Identifier" || value.type !== "Identifier") return undefined;
    names.push([key.name, value.name]);
  }
  return names;
}

function textOf(
  source: string,
  node: { start?: number | null; end?: number | null } | null | undefined,
): string {
  return source.slice(node?.start ?? 0, node?.end ?? 0);
}

/** Whether a function or block around a place binds the name, so that it is not the notebook's. */
function isOwn(scope: Scope, name: string): boolean {
  const binding = scope.getBinding(name);
  return binding !== undefined && !binding.scope.path.isProgram();
}

function readImport(path: NodePath, { names, whole }: Imported): void {
  if (!path.isImportDeclaration() || path.node.source.value !== "mitral") return;
  for (const specifier of path.node.specifiers) {
    const local = specifier.local.name;
    if (specifier.type === "ImportNamespaceSpecifier") whole.add(local);
    else if (specifier.type === "ImportSpecifier") {
      const { imported } = specifier;
      names.set(local, imported.type === "Identifier" ? imported.name : imported.value);
    }
  }
}
