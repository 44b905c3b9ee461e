import { parse } from "@babel/parser";

/** A node of the tree, as far as it is looked at here. */
interface Node {
  type: string;
  start: number;
  end: number;
  [part: string]: unknown;
}

/** One small change to a source file that some test should notice. */
export interface Mutant {
  file: string;
  /** From 1. */
  line: number;
  start: number;
  end: number;
  from: string;
  to: string;
}

const comparisons: Record<string, string> = {
  "<": "<=",
  "<=": "<",
  ">": ">=",
  ">=": ">",
  "===": "!==",
  "!==": "===",
};
const arithmetic: Record<string, string> = { "+": "-", "-": "+", "*": "/", "/": "*" };

/**
 * The mutants of a TypeScript source: comparisons moved by one or turned round, signs and products
 * exchanged, conditions negated, numbers changed, words of sentences emptied.
 *
 * Types, error messages and imports are left alone: no test owes anything to them. A comparison
 * inside a loop's head is left alone too, as a mutant that never ends proves nothing.
 */
export function mutantsOf(file: string, source: string): Mutant[] {
  const found: Mutant[] = [];
  const add = (node: Node, to: string, start = node.start, end = node.end) => {
    const from = source.slice(start, end);
    const line = source.slice(0, start).split("\n").length;
    if (from !== to) found.push({ file, line, start, end, from, to });
  };
  const visit = (node: Node, parent: Node | null): void => {
    const operator = String(node.operator);
    const { left, right, test } = node;
    if (node.type === "BinaryExpression" && isNode(left) && isNode(right)) {
      const to = comparisons[operator] ?? arithmetic[operator];
      if (to && parent?.type !== "ForStatement" && !joinsText(operator, left, right)) {
        // what stands between the two sides is the operator and blanks
        const place = source.indexOf(operator, left.end);
        if (place >= 0 && place < right.start) add(node, to, place, place + operator.length);
      }
    } else if (node.type === "LogicalExpression" && isNode(left) && operator !== "??") {
      const place = source.indexOf(operator, left.end);
      add(node, operator === "&&" ? "||" : "&&", place, place + 2);
    } else if (isNode(test) && /^(Conditional|If)/.test(node.type)) {
      add(test, `!(${source.slice(test.start, test.end)})`);
    } else if (node.type === "NumericLiteral" && !/^(TSLiteral|Member)/.test(parent?.type ?? "")) {
      add(node, String(node.value === 0 ? 1 : Number(node.value) + 1));
    }
    for (const [key, value] of Object.entries(node)) {
      if (key === "loc" || key.endsWith("Comments") || leaveAlone(node, key)) continue;
      for (const child of Array.isArray(value) ? value : [value]) {
        if (isNode(child)) visit(child, node);
      }
    }
  };
  const { program } = parse(source, { sourceType: "module", plugins: ["typescript"] });
  for (const statement of program.body) if (isNode(statement)) visit(statement, null);
  return found;
}

function isNode(value: unknown): value is Node {
  return typeof value === "object" && value !== null && "type" in value && "start" in value;
}

/** Types, imports, and what is thrown. */
function leaveAlone(node: Node, key: string): boolean {
  return key === "typeAnnotation" || key === "typeParameters" || key === "returnType" ||
    /^TS(?!NonNull|As|Satisfies)/.test(node.type) || node.type === "ImportDeclaration" ||
    node.type === "ThrowStatement";
}

function joinsText(operator: string, ...sides: Node[]): boolean {
  return operator === "+" && sides.some(({ type }) => /^(String|Template)Literal$/.test(type));
}

/** A source with one mutant in place. */
export function mutated(source: string, { start, end, to }: Mutant): string {
  return source.slice(0, start) + to + source.slice(end);
}
