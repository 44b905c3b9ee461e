import { type GreedyRules, type Pair, turns } from "./greedy.ts";
import { type MatchLayout, runsOf, stratumOfTreated } from "./layout.ts";

/**
 * Matching with replacement: each treated takes its nearest controls, as many as `partners` says,
 * whoever else has them. Equal differences: the lower row. All first controls come before the
 * second ones. Cost O(n + pairs).
 */
export function matchWithReplacement(layout: MatchLayout, rules: GreedyRules): Pair[] {
  const { treatedRows, treatedAt, controlRows, controlAt, controlStarts, meets } = layout;
  const stratum = stratumOfTreated(layout);
  const runs = runsOf(layout);
  const rounds: Pair[][] = Array.from({ length: rules.partners }, () => []);
  for (const t of turns(layout, rules.begin)) {
    const first = controlStarts[stratum[t]!]!;
    const end = controlStarts[stratum[t]! + 1]!;
    const at = treatedAt[t]!;
    const gap = (place: number) => Math.abs(controlAt[place]! - at);
    let right = meets[t]!;
    // the next to take on the left: its run from the lowest row up
    let left = right > first ? runs.start[right - 1]! : -1;
    let leftEnd = right;
    for (const round of rounds) {
      const toRight = right < end ? gap(right) : Infinity;
      const toLeft = left >= 0 ? gap(left) : Infinity;
      if (!(Math.min(toLeft, toRight) <= rules.width) || (right >= end && left < 0)) break;
      const goLeft = left >= 0 && (toLeft < toRight ||
        (toLeft === toRight && (right >= end || controlRows[left]! < controlRows[right]!)));
      round.push([treatedRows[t]!, controlRows[goLeft ? left : right]!]);
      if (!goLeft) right++;
      else if (++left === leftEnd) {
        leftEnd = runs.start[left - 1]!;
        left = leftEnd > first ? runs.start[leftEnd - 1]! : -1;
      }
    }
  }
  return rounds.flat();
}
