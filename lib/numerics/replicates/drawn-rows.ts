import { SeededRandom } from "./random.ts";

/**
 * So many rows are enough for what asks whether an answer hangs on a choice, and not for the answer
 * itself: of 50,000 patients the standard error of a difference in proportions is at most about
 * 0.5 per 100. Chosen here, no source.
 */
export const ENOUGH = 50_000;

/**
 * Rows drawn at random without replacement, ascending: all of them where there are no more than
 * asked for. Each set of that many is as likely as any other (selection sampling). Cost: O(rows).
 *
 * @param rows How many there are.
 * @param options.most How many are drawn at most, default {@link ENOUGH}.
 * @see Fan, Muller & Rezucha (1962) JASA 57:387-402; Knuth, The Art of Computer Programming 2,
 * 3.4.2, algorithm S.
 */
export function drawnRows(
  rows: number,
  { seed, most = ENOUGH }: { seed: number; most?: number },
): Int32Array {
  if (rows <= most) return Int32Array.from({ length: rows }, (_, row) => row);
  const random = new SeededRandom(seed);
  const drawn = new Int32Array(most);
  for (let row = 0, taken = 0; taken < most; row++) {
    if ((rows - row) * random.uniform() < most - taken) drawn[taken++] = row;
  }
  return drawn;
}
