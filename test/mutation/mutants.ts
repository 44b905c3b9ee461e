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
  /** The expression that it changes, from where to where. */
  whole: [start: number, end: number];
  /** Whether that expression is worked out anew at every call: it stands within a function. */
  atEveryCall: boolean;
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
 * exchanged, conditions negated, numbers changed.
 *
 * Types, error messages and imports are left alone: no test owes anything to them. A comparison
 * inside a loop's head is left alone too, as a mutant that never ends proves nothing.
 */
export function mutantsOf(file: string, source: string): Mutant[] {
  const found: Mutant[] = [];
  let depth = 0; // of functions
  const add = (node: Node, to: string, start = node.start, end = node.end) => {
    const from = source.slice(start, end);
    const line = source.slice(0, start).split("\n").length;
    if (from === to) return;
    const whole: [number, number] = [node.start, node.end];
    found.push({ file, line, start, end, from, to, whole, atEveryCall: depth > 0 });
  };
  const visit = (node: Node, parent: Node | null): void => {
    const isFunction = /Function|Method/.test(node.type);
    if (isFunction) depth++;
    look(node, parent);
    if (isFunction) depth--;
  };
  const look = (node: Node, parent: Node | null): void => {
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
    } else if (
      node.type === "NumericLiteral" && !/^(TSLiteral|Member)/.test(parent?.type ?? "") &&
      parent?.key !== node
    ) {
      add(node, String(anotherNumber(Number(node.value))));
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

/** One that makes a difference where the number does: one more, or twice as many of thousands. */
function anotherNumber(value: number): number {
  return value < 1000 ? value + 1 : 2 * value;
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

/**
 * A source with several mutants in it, none of which does anything until `globalThis.mutant` is its
 * number: all are then tried without loading the library again. Each that is come by is marked in
 * `globalThis.reached`, so that only tests that reach it need be asked.
 *
 * @param numbered Mutants of this source within functions; their expressions must not overlap.
 */
export function switched(source: string, numbered: readonly [number, Mutant][]): string {
  let text = source;
  for (const [number, mutant] of numbered.toSorted(([, a], [, b]) => b.whole[0] - a.whole[0])) {
    const { start, end, to, whole: [from, past] } = mutant;
    const changed = source.slice(from, start) + to + source.slice(end, past);
    const asIs = source.slice(from, past);
    const isIn = `(globalThis.reached[${number}] = 1) && globalThis.mutant === ${number}`;
    const either = `(${isIn} ? (${changed}) : (${asIs}))`;
    text = text.slice(0, from) + either + text.slice(past);
  }
  return text;
}
