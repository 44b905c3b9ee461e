import type { Clue } from "../../disclosure/solver/mod.ts";
import { type Facts, type Place, placeText } from "../reading/mod.ts";

/**
 * Places to withhold so that a pinned count is open again: the nearest of its clues first, until it
 * is open; then those that turn out not to be needed are given back, the farthest first. None,
 * where none of them opens it.
 *
 * Withholding more never closes what is open: so places are tried by halves, not one by one.
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
  const opens = (texts: readonly string[]) => isOpen(without(texts));
  const alone = firstAlone(near, opens);
  if (alone !== undefined) return [byText.get(alone)!];
  // it follows from what no cell or drawing can take back: nothing would be won
  if (!opens(near)) return [];
  const taken = near.slice(0, fewestFirst(near.length, (some) => opens(near.slice(0, some))));
  return neededOf(taken, opens).map((text) => byText.get(text)!);
}

/** Of texts that together open the count, those without which they do not. */
function neededOf(texts: readonly string[], opens: (texts: readonly string[]) => boolean) {
  const needed: string[] = [];
  for (let left = texts.length; left > 0; left--) {
    left = fewestFirst(left, (some) => opens([...texts.slice(0, some), ...needed]));
    if (left > 0) needed.unshift(texts[left - 1]!);
  }
  return needed;
}

/** The first of some texts that opens the count by itself: none does where all together do not. */
function firstAlone(
  texts: readonly string[],
  opens: (texts: readonly string[]) => boolean,
): string | undefined {
  if (texts.length === 0 || !opens(texts)) return undefined;
  if (texts.length === 1) return texts[0];
  const half = texts.length >> 1;
  return firstAlone(texts.slice(0, half), opens) ?? firstAlone(texts.slice(half), opens);
}

/** The fewest of `all`, from the first on, that will do, where all of them do. */
function fewestFirst(all: number, willDo: (some: number) => boolean): number {
  let low = 0;
  let high = all;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (willDo(middle)) high = middle;
    else low = middle + 1;
  }
  return high;
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
