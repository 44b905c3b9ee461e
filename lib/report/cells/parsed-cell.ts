import { parse, type ParseResult } from "@babel/parser";
import { Memory } from "../../numerics/memory/mod.ts";

/**
 * A cell's code as a tree, which nobody changes: all who ask for it get the same one.
 *
 * @throws {SyntaxError} with the place, where it cannot be parsed.
 */
export function parseCell(source: string): ParseResult {
  return trees.get(source, () => parse(source, { sourceType: "module", plugins: ["typescript"] }));
}

const trees = new Memory<ParseResult>(1000);

/** The same; undefined where it cannot be parsed: the runner says in which line. */
export function parsedCell(source: string): ParseResult | undefined {
  try {
    return parseCell(source);
  } catch {
    return undefined;
  }
}
