import { parse } from "@babel/parser";
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

/**
 * Follows each cell's results back through the notebook: the statements it runs, the names they
 * mention, the statements that gave those names, and so on. What a cell does not rest on is not
 * counted, so that a table names the methods behind its own numbers.
 *
 * Parameters and variables of a function within a statement are its own and are not followed.
 *
 * @returns One entry a code cell, in order; a cell that cannot be parsed has an empty one.
 */
export function cellCode(notebook: Notebook): CellCode[] {
  const statements: Statement[] = [];
  let cells = 0;
  const imported = new Map<string, string>();
  let namespace: string | undefined;
  for (const { cell_type, source } of notebook.cells) {
    if (cell_type !== "code") continue;
    const cell = cells++;
    for (const node of bodyOf(source)) {
      if (node.type === "ImportDeclaration") {
        namespace = readImport(node, imported) ?? namespace;
        continue;
      }
      const statement: Statement = {
        cell,
        declares: new Set(),
        mentions: new Set(),
        library: new Set(),
        shows: !/^(Variable|Function|Class|TS).*Declaration$/.test(node.type),
      };
      for (const name of declaredNames(node)) statement.declares.add(name);
      walk(node, (inner, parent, { key, local }) => {
        if (inner.type !== "Identifier" || !isVariable(inner, parent, key)) return;
        const name = String(inner.name);
        if (local.has(name)) return;
        statement.mentions.add(name);
        const from = imported.get(name);
        if (from) statement.library.add(from);
        if (name === namespace && parent?.type === "MemberExpression") {
          const property = parent.property as Node;
          if (property.type === "Identifier") statement.library.add(String(property.name));
        }
      });
      statements.push(statement);
    }
  }
  return Array.from({ length: cells }, (_, cell) => ({ library: libraryBehind(cell, statements) }));
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

/** A node of the syntax tree, read without the parser's own many types. */
interface Node {
  type: string;
  [field: string]: unknown;
}

function isNode(value: unknown): value is Node {
  return typeof value === "object" && value !== null &&
    typeof Reflect.get(value, "type") === "string";
}

function bodyOf(source: string): Node[] {
  try {
    const { program } = parse(source, { sourceType: "module", plugins: ["typescript"] });
    return program.body.filter((node): node is typeof node & Node => isNode(node)) as Node[];
  } catch {
    return []; // the runner has said so already, with the line
  }
}

interface Position {
  /** The field of the parent that holds the node. */
  key: string;
  /** Names that functions around it bind. */
  local: ReadonlySet<string>;
}

function walk(
  node: Node,
  visit: (node: Node, parent: Node | undefined, position: Position) => void,
  parent?: Node,
  position: Position = { key: "", local: new Set() },
): void {
  visit(node, parent, position);
  const local = /^(Arrow)?Function(Expression|Declaration)$/.test(node.type)
    ? new Set([...position.local, ...namesWithin(node)])
    : position.local;
  for (const [key, child] of childrenOf(node)) walk(child, visit, node, { key, local });
}

function* childrenOf(node: Node): Generator<[string, Node]> {
  for (const [key, value] of Object.entries(node)) {
    for (const child of Array.isArray(value) ? value : [value]) {
      if (isNode(child)) yield [key, child];
    }
  }
}

/** Parameters of a function, and the variables of its body down to functions within. */
function namesWithin(func: Node): string[] {
  const variables = (node: Node): string[] => [
    ...declaredNames(node),
    ...[...childrenOf(node)].flatMap(([, child]) =>
      /Function/.test(child.type) ? declaredNames(child) : variables(child)
    ),
  ];
  const body = isNode(func.body) ? variables(func.body) : [];
  return [...nodesOf(func.params).flatMap(namesIn), ...body];
}

/** Whether an identifier stands for a variable and not for the name of a property or a type. */
function isVariable(_node: Node, parent: Node | undefined, key: string): boolean {
  if (!parent) return true;
  if (/^(Optional)?MemberExpression$/.test(parent.type)) {
    return key === "object" || parent.computed === true;
  }
  if (/^Object(Property|Method)$/.test(parent.type) && key === "key") {
    return parent.computed === true || parent.shorthand === true;
  }
  return !/^TS/.test(parent.type) || parent.type === "TSNonNullExpression" ||
    parent.type === "TSAsExpression" || parent.type === "TSSatisfiesExpression";
}

/** Reads an import from the library; the result is the name of its namespace, if it takes one. */
function readImport(node: Node, imported: Map<string, string>): string | undefined {
  if (!isNode(node.source) || node.source.value !== "mitral") return undefined;
  let namespace: string | undefined;
  for (const specifier of Array.isArray(node.specifiers) ? node.specifiers : []) {
    if (!isNode(specifier) || !isNode(specifier.local)) continue;
    const local = String(specifier.local.name);
    if (specifier.type === "ImportNamespaceSpecifier") namespace = local;
    else if (isNode(specifier.imported)) imported.set(local, String(specifier.imported.name));
  }
  return namespace;
}

function declaredNames(node: Node): string[] {
  if (/^(Function|Class)Declaration$/.test(node.type)) {
    return isNode(node.id) ? [String(node.id.name)] : [];
  }
  if (node.type !== "VariableDeclaration" || !Array.isArray(node.declarations)) return [];
  return node.declarations.flatMap((declaration) =>
    isNode(declaration) && isNode(declaration.id) ? namesIn(declaration.id) : []
  );
}

/** The names a pattern binds: `{ a, b: [c] }` binds a and c. */
function namesIn(pattern: Node): string[] {
  switch (pattern.type) {
    case "Identifier":
      return [String(pattern.name)];
    case "ObjectPattern":
      return nodesOf(pattern.properties).flatMap((property) =>
        property.type === "RestElement"
          ? namesIn(property)
          : nodesOf([property.value]).flatMap(namesIn)
      );
    case "ArrayPattern":
      return nodesOf(pattern.elements).flatMap(namesIn);
    case "AssignmentPattern":
      return nodesOf([pattern.left]).flatMap(namesIn);
    case "RestElement":
      return nodesOf([pattern.argument]).flatMap(namesIn);
    default:
      return [];
  }
}

function nodesOf(value: unknown): Node[] {
  return Array.isArray(value) ? value.filter(isNode) : [];
}
