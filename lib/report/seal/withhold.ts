import type { Clue } from "../../disclosure/solver/mod.ts";
import { type Facts, type Place, placeText } from "../reading/mod.ts";

/**
 * Places to withhold so that a pinned count is open again: the nearest of its clues first, until it
 * is open; then those that turn out not to be needed are given back, the farthest first. None,
 * where none of them opens it.
 *
 * @param isOpen Whether the count is open with some of the clues alone.
 */
export function placesToWithhold(
  count: string,
  facts: Facts,
  isOpen: (told: Told) => boolean,
): Place[] {
  const byText = new Map(
    [...facts.places.values()].flat().map((place) => [placeText(place), place]),
  );
  const near = nearestFirst(count, facts).filter((text) => byText.has(text));
  const without = (texts: readonly string[]) => withoutTexts(facts, texts);
  const alone = near.find((text) => isOpen(without([text])));
  if (alone !== undefined) return [byText.get(alone)!];
  let taken: string[] = [];
  for (const text of near) {
    taken = [...taken, text];
    if (isOpen(without(taken))) break;
  }
  // it follows from what no cell or drawing can take back: nothing would be won
  if (!isOpen(without(taken))) return [];
  for (const text of taken.toReversed()) {
    const fewer = taken.filter((other) => other !== text);
    if (isOpen(without(fewer))) taken = fewer;
  }
  return taken.map((text) => byText.get(text)!);
}

/** What is told, and what may be supposed. */
export type Told = Pick<Facts, "clues" | "supposed">;

/** What is told when nothing stands at some places, and what was supposed of what stood there. */
export function withoutTexts({ clues, supposed }: Told, texts: readonly string[]): Told {
  const gone = new Set(texts);
  const stays = ({ from }: Clue) => !gone.has(placeOf(from));
  return { clues: clues.filter(stays), supposed: supposed.filter(stays) };
}

/** Where a clue stands, without what must be supposed for it. */
function placeOf(from: string): string {
  const end = from.indexOf(", if ");
  return end < 0 ? from : from.slice(0, end);
}

/** Where clues stand, by how many steps from clue to clue they are away from a count. */
function nearestFirst(count: string, { clues, supposed }: Facts): string[] {
  const all = [...clues, ...supposed];
  const texts = new Set<string>();
  let reached = new Set([count]);
  const seen = new Set<string>();
  for (let step = 0; step < 4 && reached.size > 0; step++) {
    const next = new Set<string>();
    for (const name of reached) seen.add(name);
    for (const { parts, from } of all) {
      if (!parts.some((part) => reached.has(part.count))) continue;
      texts.add(placeOf(from));
      for (const part of parts) if (!seen.has(part.count)) next.add(part.count);
    }
    reached = next;
  }
  return [...texts];
}
