import { parse, type ParseResult } from "@babel/parser";

/** A cell's code as a tree. @throws {SyntaxError} with the place, where it cannot be parsed. */
export function parseCell(source: string): ParseResult {
  return parse(source, { sourceType: "module", plugins: ["typescript"] });
}

/** The same; undefined where it cannot be parsed: the runner says in which line. */
export function parsedCell(source: string): ParseResult | undefined {
  try {
    return parseCell(source);
  } catch {
    return undefined;
  }
}
