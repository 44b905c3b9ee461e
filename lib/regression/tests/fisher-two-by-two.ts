/**
 * The two-sided p value of Fisher's exact test of the table [[a, b], [c, d]].
 *
 * Every probability is taken relative to the likeliest table, by ratios of neighbours: nothing is a
 * difference of log factorials, which at totals of 1e5 lose five digits.
 */
export function fisherTwoByTwo(a: number, b: number, c: number, d: number): number {
  const first = a + b;
  const second = c + d;
  const column = a + c;
  const least = Math.max(0, column - second);
  const most = Math.min(first, column);
  // P(k + 1) / P(k)
  const ratio = (k: number) => (column - k) * (first - k) / ((k + 1) * (second - column + k + 1));
  const mode = Math.min(
    most,
    Math.max(least, Math.floor((first + 1) * (column + 1) / (first + second + 2))),
  );
  const weights = new Float64Array(most - least + 1);
  weights[mode - least] = 1;
  for (let k = mode; k < most; k++) weights[k + 1 - least] = weights[k - least]! * ratio(k);
  for (let k = mode; k > least; k--) weights[k - 1 - least] = weights[k - least]! / ratio(k - 1);
  const limit = weights[a - least]! * (1 + 1e-7);
  let asExtreme = 0;
  let others = 0;
  for (const weight of weights) {
    if (weight <= limit) asExtreme += weight;
    else others += weight;
  }
  return asExtreme / (asExtreme + others);
}
