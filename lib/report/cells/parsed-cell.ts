import { parse, type ParseResult } from "@babel/parser";

/**
 * A cell's code as a tree, which nobody changes: all who ask for it get the same one.
 *
 * @throws {SyntaxError} with the place, where it cannot be parsed.
 */
export function parseCell(source: string): ParseResult {
  let tree = trees.get(source);
  if (tree === undefined) {
    tree = parse(source, { sourceType: "module", plugins: ["typescript"] });
    if (trees.size >= mostKept) trees.clear();
    trees.set(source, tree);
  }
  return tree;
}

const trees = new Map<string, ParseResult>();
const mostKept = 1000;

/** The same; undefined where it cannot be parsed: the runner says in which line. */
export function parsedCell(source: string): ParseResult | undefined {
  try {
    return parseCell(source);
  } catch {
    return undefined;
  }
}
