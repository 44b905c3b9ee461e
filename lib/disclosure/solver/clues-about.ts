import type { Clue } from "./clue.ts";
import { anything, narrow, riddleOf } from "./riddle.ts";

/** What is printed, and what may be supposed of it. */
export interface PrintedClues {
  clues: readonly Clue[];
  supposed: readonly Clue[];
}

/**
 * Of everything printed, what has to do with one count: clues that lead to it from count to count,
 * but not by way of one that is printed as it is, from which nothing new follows.
 *
 * `learnCounts` says the same of that count from these clues as from all, as long as no clue
 * contradicts another, since bounds that meet no clue in common never meet: much sooner, where a
 * reader's clues fall into hundreds of such parts. Where clues do contradict each other all are
 * given back.
 *
 * @param all Everything that will be asked about: later on, some of these very clues.
 * @param most No count is larger.
 */
export function cluesAbout(
  all: PrintedClues,
  most: number,
): (count: string, told: PrintedClues) => PrintedClues {
  const riddle = riddleOf(all.clues);
  if (!narrow(riddle, anything(riddle, most))) return (_, told) => told;
  const cluesOf = new Map<string, Clue[]>();
  for (const clue of [...all.clues, ...all.supposed]) {
    for (const { count } of clue.parts) {
      const own = cluesOf.get(count);
      if (own) own.push(clue);
      else cluesOf.set(count, [clue]);
    }
  }
  const facts = new Set(all.clues);
  return (count, { clues, supposed }) => {
    const told = new Set([...clues, ...supposed]);
    const isExact = (name: string) =>
      cluesOf.get(name)!.some((clue) => told.has(clue) && facts.has(clue) && saysExactly(clue));
    const reached = new Set<string>();
    const about = new Set<Clue>();
    const waiting = [count];
    for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
      if (reached.has(name)) continue;
      reached.add(name);
      for (const clue of cluesOf.get(name) ?? []) {
        if (!told.has(clue) || about.has(clue)) continue;
        about.add(clue);
        for (const part of clue.parts) {
          if (reached.has(part.count)) continue;
          if (!isExact(part.count)) {
            waiting.push(part.count);
            continue;
          }
          // what it is printed as belongs to the clue that has it
          reached.add(part.count);
          for (const own of cluesOf.get(part.count)!) {
            if (told.has(own) && facts.has(own) && saysExactly(own)) about.add(own);
          }
        }
      }
    }
    return {
      clues: clues.filter((clue) => about.has(clue)),
      supposed: supposed.filter((clue) => about.has(clue)),
    };
  };
}

function saysExactly({ parts: [first, ...others], low, high }: Clue): boolean {
  return first !== undefined && others.length === 0 && first.times === 1 && low === high &&
    Number.isInteger(low);
}
