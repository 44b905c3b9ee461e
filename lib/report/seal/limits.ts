import type { Told } from "./withhold.ts";
import type { ReaderKnows } from "../reading/mod.ts";

/** What the solver is to know beside the clues. */
export function limitsOf({ clues, supposed }: Told, { smallestCell }: ReaderKnows) {
  // no count is larger than the largest that is printed
  const printed = clues.flatMap(({ parts, low }) => parts.length === 1 ? [low] : []);
  return { smallestCell, supposed, most: Math.max(smallestCell, ...printed) };
}
