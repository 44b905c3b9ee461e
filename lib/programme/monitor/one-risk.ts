import { successScore } from "./risk-adjusted-cusum.ts";

/**
 * Average run length where all operations have one risk, exactly: every path of an excursion from 0
 * is followed, places told apart by the number of failures so far. A grid would smear the few
 * places there are.
 *
 * @returns NaN where excursions are too long to follow.
 */
export function exactRunLength(
  { risk, oddsRatio, failure }: { risk: number; oddsRatio: number; failure: number },
  limit: number,
): number {
  const down = successScore(risk, oddsRatio);
  const up = down + Math.log(oddsRatio);
  const moves = [{ score: down, chance: 1 - failure }, { score: up, chance: failure }];
  // a place of rounding's size above 0 is 0
  const dust = 1e-12 * limit;
  let here = Float64Array.of(1); // by number of failures
  let length = 0;
  let signal = 0;
  for (let done = 0; done < 20_000; done++) {
    const next = new Float64Array(here.length + 1);
    let left = 0;
    for (let failures = 0; failures < here.length; failures++) {
      const mass = here[failures]!;
      if (mass === 0) continue;
      left += mass;
      moves.forEach(({ score, chance }, failed) => {
        const now = failures + failed;
        const height = now * up + (done + 1 - now) * down;
        if (height >= limit - dust) signal += mass * chance;
        else if (height > dust && score !== 0) next[now]! += mass * chance;
      });
    }
    length += left;
    if (left < 1e-15 * length) return length / signal;
    let last = next.length;
    while (last > 1 && next[last - 1]! < 1e-300) last--;
    here = next.subarray(0, last);
  }
  return NaN;
}
