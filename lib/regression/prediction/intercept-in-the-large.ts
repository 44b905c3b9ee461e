/**
 * Log odds to add to every prediction so that they sum to the events. Newton on one equation,
 * concave, so it converges.
 *
 * @param weight Of each row. The error is then robust, and takes the weights as known.
 */
export function interceptInTheLarge(
  outcome: ArrayLike<number>,
  logOdds: ArrayLike<number>,
  weight?: ArrayLike<number>,
): { estimate: number; standardError: number } {
  let shift = 0;
  let information = 0;
  let squares = 0;
  for (let iteration = 0; iteration < 100; iteration++) {
    let sum = 0;
    information = 0;
    squares = 0;
    for (let i = 0; i < outcome.length; i++) {
      const w = weight?.[i] ?? 1;
      const p = 1 / (1 + Math.exp(-(logOdds[i]! + shift)));
      const score = w * (outcome[i]! - p);
      sum += score;
      squares += score * score;
      information += w * p * (1 - p);
    }
    const step = Math.max(-2, Math.min(2, sum / information));
    shift += step;
    if (Math.abs(step) < 1e-12) break;
  }
  return {
    estimate: shift,
    standardError: weight ? Math.sqrt(squares) / information : 1 / Math.sqrt(information),
  };
}
