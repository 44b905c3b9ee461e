import { parse } from "@babel/parser";
import traverse, { type NodePath, type Scope } from "@babel/traverse";
import type { Notebook } from "./notebook.ts";

/** What the code of one cell that shows something calls, itself and what it rests on. */
export interface CellCode {
  /** Names from the library, sorted: those its results were computed with. */
  library: string[];
}

interface Statement {
  cell: number;
  declares: Set<string>;
  mentions: Set<string>;
  library: Set<string>;
  /** Runs for its effect or its value rather than to name something. */
  shows: boolean;
}

/** What the library's names are called in a notebook. */
interface Imported {
  /** Local name to the library's. */
  names: Map<string, string>;
  /** Local names that stand for the whole library. */
  whole: Set<string>;
}

/**
 * Follows each cell's results back through the notebook: the statements it runs, the names they
 * mention, the statements that gave those names, and so on. What a cell does not rest on is not
 * counted, so that a table names the methods behind its own numbers.
 *
 * Which names a statement takes from outside itself is the scope analysis of the parser's own
 * library: parameters and variables of a function, and names of types, are not followed.
 *
 * @returns One entry a code cell, in order; a cell that cannot be parsed has an empty one.
 */
export function cellCode(notebook: Notebook): CellCode[] {
  const statements: Statement[] = [];
  const imported: Imported = { names: new Map(), whole: new Set() };
  const cells = notebook.cells.filter(({ cell_type }) => cell_type === "code");
  cells.forEach(({ source }, cell) => statements.push(...statementsOf(source, { cell, imported })));
  return cells.map((_, cell) => ({ library: libraryBehind(cell, statements) }));
}

function libraryBehind(cell: number, statements: readonly Statement[]): string[] {
  const own = statements.filter((statement) => statement.cell === cell);
  const shown = own.filter(({ shows }) => shows);
  const queue = shown.length > 0 ? [...shown] : [...own];
  const seen = new Set(queue);
  const library = new Set<string>();
  for (let statement = queue.pop(); statement; statement = queue.pop()) {
    for (const name of statement.library) library.add(name);
    const at = statements.indexOf(statement);
    for (const earlier of statements.slice(0, at)) {
      if (seen.has(earlier)) continue;
      if (![...statement.mentions].some((name) => earlier.declares.has(name))) continue;
      seen.add(earlier);
      queue.push(earlier);
    }
  }
  return [...library].sort();
}

function parsed(source: string) {
  try {
    return parse(source, { sourceType: "module", plugins: ["typescript"] });
  } catch {
    return undefined; // the runner has said so already, with the line
  }
}

function statementsOf(
  source: string,
  { cell, imported }: { cell: number; imported: Imported },
): Statement[] {
  const file = parsed(source);
  if (!file) return [];
  const statements: Statement[] = [];
  let statement: Statement | undefined;
  const mention = (path: NodePath, name: string) => {
    if (!statement || isOwn(path.scope, name)) return;
    statement.mentions.add(name);
    const from = imported.names.get(name);
    if (from) statement.library.add(from);
    if (!imported.whole.has(name) || !path.parentPath?.isMemberExpression()) return;
    const { property } = path.parentPath.node;
    if (property.type === "Identifier") statement.library.add(property.name);
  };
  traverse(file, {
    ImportDeclaration(path) {
      readImport(path, imported);
      path.skip();
    },
    Statement(path) {
      if (!path.parentPath?.isProgram()) return;
      statement = {
        cell,
        declares: new Set(Object.keys(path.getBindingIdentifiers())),
        mentions: new Set(),
        library: new Set(),
        shows: !path.isDeclaration(),
      };
      statements.push(statement);
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
