/**
 * How far x is from its mean m on the scale of a log-likelihood, m log(m/x) + x - m, at least 0.
 *
 * The terms all but cancel where x is near m: there it is a series in (x - m)/(x + m), so that the
 * result keeps its digits however large m is.
 *
 * @see Loader (2000) Fast and accurate computation of binomial probabilities (Bell Laboratories).
 */
export function deviance(m: number, x: number): number {
  const gap = m - x;
  if (Math.abs(gap) >= 0.1 * (m + x)) return m * Math.log(m / x) - gap;
  const v = gap / (m + x);
  const square = v * v;
  let term = 2 * m * v;
  let sum = gap * v;
  for (let j = 3;; j += 2) {
    term *= square;
    const next = sum + term / j;
    if (next === sum) return sum;
    sum = next;
  }
}

// B(2k) / (2k (2k - 1)): Stirling's series
const STIRLING = [
  1 / 12,
  -1 / 360,
  1 / 1260,
  -1 / 1680,
  1 / 1188,
  -691 / 360360,
  1 / 156,
  -3617 / 122400,
];
// the terms left out are below 1e-17 from here on
const SERIES_FROM = 16;

/**
 * What Stirling's formula leaves out of log(a!): log Gamma(a + 1) - log(sqrt(2 pi a) (a/e)^a).
 *
 * Below 16 it comes from the value at a + 1: the difference is (a + 1/2) log(1 + 1/a) - 1.
 *
 * @see Abramowitz & Stegun (1964) 6.1.40; Loader (2000), as above.
 */
export function stirlingRest(a: number): number {
  // a search for a quantile asks for the same three over and over
  const place = recent.indexOf(a);
  if (place >= 0) return rests[place]!;
  const rest = restOf(a);
  recent[oldest] = a;
  rests[oldest] = rest;
  oldest = (oldest + 1) % recent.length;
  return rest;
}

const recent = new Float64Array(6).fill(NaN);
const rests = new Float64Array(6);
let oldest = 0;

function restOf(a: number): number {
  let below = 0;
  let at = a;
  for (; at < SERIES_FROM; at++) below += (at + 0.5) * Math.log1p(1 / at) - 1;
  let rest = 0;
  for (let k = STIRLING.length - 1; k >= 0; k--) rest = STIRLING[k]! + rest / (at * at);
  return below + rest / at;
}
