import traverse, { type NodePath, type Scope } from "@babel/traverse";
import { parsedCell } from "./parsed-cell.ts";

/** A statement of a notebook's top level. */
export interface Statement {
  /** Code cell it stands in, from 0. */
  cell: number;
  /** Names it gives. */
  declares: Set<string>;
  /** Names it takes from outside itself. */
  mentions: Set<string>;
  /** Names from the library among them. */
  library: Set<string>;
  /** Runs for its effect or its value rather than to name something. */
  shows: boolean;
  /** Parts of it that can differ without each other; a statement that cannot be parted is one. */
  parts: StatementPart[];
}

/** One name or more that a statement gives, with the code that gives it. */
export interface StatementPart {
  declares: Set<string>;
  mentions: Set<string>;
  code: string;
  /** Stands for the one value that it is taken from: parts with the same share it. */
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
export function readStatements(cells: readonly string[]): Statement[] {
  const imported: Imported = { names: new Map(), whole: new Set() };
  return cells.flatMap((source, cell) => statementsOf(source, { cell, imported }));
}

function statementsOf(
  source: string,
  { cell, imported }: { cell: number; imported: Imported },
): Statement[] {
  const file = parsedCell(source);
  if (!file) return [];
  const statements: Statement[] = [];
  let statement: Statement | undefined;
  let parts = new Map<unknown, StatementPart[]>();
  const mention = (path: NodePath, name: string) => {
    if (!statement || isOwn(path.scope, name)) return;
    statement.mentions.add(name);
    for (const part of partsAt(path, parts) ?? statement.parts) part.mentions.add(name);
    const from = imported.names.get(name);
    if (from) statement.library.add(from);
    if (!imported.whole.has(name) || !path.parentPath?.isMemberExpression()) return;
    const { property } = path.parentPath.node;
    if (property.type === "Identifier") statement.library.add(property.name);
  };
  traverse(file, {
    Statement(path) {
      if (!path.parentPath?.isProgram()) return;
      // what a loop or a function names within itself is not given to the notebook
      const declares = new Set(
        path.isDeclaration() ? Object.keys(path.getOuterBindingIdentifiers()) : [],
      );
      parts = partsOf(path, source);
      const all = [...parts.values()].flat();
      statement = {
        cell,
        declares,
        mentions: new Set(),
        library: new Set(),
        shows: !path.isDeclaration(),
        parts: all.length > 0
          ? all
          : [{ declares, mentions: new Set(), code: textOf(source, path.node), value: path.node }],
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

/** The parts of a declaration of variables, by the node that declares them; of all else none. */
function partsOf(path: NodePath, source: string): Map<unknown, StatementPart[]> {
  const parts = new Map<unknown, StatementPart[]>();
  if (!path.isVariableDeclaration()) return parts;
  for (const declarator of path.get("declarations")) {
    const { init } = declarator.node;
    const mentions = new Set<string>();
    const names = plainProperties(declarator.get("id"));
    const given = textOf(source, init);
    parts.set(
      declarator.node,
      names && init
        ? names.map(([key, name]) => ({
          declares: new Set([name]),
          mentions,
          code: `const { ${key}: ${name} } = ${given}`,
          value: declarator.node,
        }))
        : [{
          declares: new Set(Object.keys(declarator.getBindingIdentifiers())),
          mentions,
          code: textOf(source, declarator.node),
          value: declarator.node,
        }],
    );
  }
  return parts;
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

/** The parts of the declaration around a place, where it lies in one of the top level. */
function partsAt(
  path: NodePath,
  parts: ReadonlyMap<unknown, StatementPart[]>,
): StatementPart[] | undefined {
  const within = path.find(({ node }) => parts.has(node));
  return within ? parts.get(within.node) : undefined;
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
