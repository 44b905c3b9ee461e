import { parse, type ParseResult } from "@babel/parser";

/** A cell's code as a tree; undefined where it cannot be parsed: the runner says in which line. */
export function parsedCell(source: string): ParseResult | undefined {
  try {
    return parse(source, { sourceType: "module", plugins: ["typescript"] });
  } catch {
    return undefined;
  }
}
