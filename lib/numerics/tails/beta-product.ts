import { distributions } from "./distributions.ts";
import { deviance, stirlingRest } from "./density-factors.ts";

/** One factor of a product of independent beta variables: Beta(left + 1, events), left >= 0. */
export interface BetaFactor {
  /** At risk, less the events. */
  left: number;
  events: number;
}

// Beyond this many events, or steps of the chain, the distribution is all but a beta.
const MOST_EVENTS = 200;
const MOST_STEPS = 20_000;

/**
 * The quantile of a product of independent Beta(left + 1, events) variables: w with P(W <= w) = p.
 *
 * Where all counts are whole it is exact. Each variable is then a product of Beta(r, 1), r from
 * left + 1 to left + events, and -log of one of those is exponential with rate r, so that
 * P(W <= w) is the probability that a chain through these rates has not run through by -log w: a
 * sum of positive terms (uniformisation). Beyond 200 events, or with counts that are not whole
 * (effective numbers under weights), W is replaced by the beta variable with its first two moments:
 * the same for one factor, and otherwise within some thousandths.
 *
 * @returns 1 for no factors.
 * @see Fay, Brittain & Proschan (2013) Biostatistics 14:723-736; moments: Fan (1991) Stat Probab
 * Lett 12:21-27; uniformisation: Jensen (1953) Skand Aktuarietidskr 36:87-91.
 */
export function betaProductQuantile(factors: readonly BetaFactor[], p: number): number {
  const used = factors.filter(({ events }) => events > 0);
  if (used.length === 0) return 1;
  const last = used.at(-1)!;
  if (used.length === 1 && last.events === 1) return Math.exp(Math.log(p) / (last.left + 1));
  if (used.length === 1) return distributions.betaQuantile(p, last.left + 1, last.events);
  const events = used.reduce((sum, factor) => sum + factor.events, 0);
  const whole = used.every(({ left, events }) => isWhole(left) && isWhole(events));
  if (!whole || events > MOST_EVENTS) return matched(used, p);
  const rates = used.flatMap(({ left, events }) =>
    Array.from({ length: Math.round(events) }, (_, k) => Math.round(left) + k + 1)
  );
  const fastest = Math.max(...rates);
  const near = nearTime(rates, p);
  if (fastest * near > MOST_STEPS) return matched(used, p);
  return Math.exp(-timeToRunThrough(rates, fastest, p, near));
}

/**
 * About where P(sum of the exponentials > x) = p: a gamma of their mean and variance, cubed normal.
 */
function nearTime(rates: readonly number[], p: number): number {
  let mean = 0;
  let variance = 0;
  for (const rate of rates) {
    mean += 1 / rate;
    variance += 1 / rate ** 2;
  }
  const spread = variance / mean ** 2 / 9;
  const root = 1 - spread + distributions.normalUpperQuantile(p) * Math.sqrt(spread);
  return mean * Math.max(0.05, root) ** 3;
}

/**
 * x with P(sum of the exponentials > x) = p, by Newton on the log of the tail from a near value.
 *
 * That log is concave, so a step never falls short of the root and later ones come down to it.
 */
function timeToRunThrough(rates: readonly number[], fastest: number, p: number, start: number) {
  let x = start;
  for (let iteration = 0; iteration < 100; iteration++) {
    const { tail, density } = notThrough(rates, fastest, x);
    const step = tail > 0 && density > 0 ? Math.log(tail / p) * tail / density : -x / 2;
    const next = Math.min(4 * x, Math.max(x / 4, x + step));
    if (Math.abs(next - x) <= 4e-15 * x) return next;
    x = next;
  }
  return x;
}

function isWhole(value: number): boolean {
  return Math.abs(value - Math.round(value)) < 1e-9 * Math.max(1, value);
}

/** The quantile of the beta variable with the product's first two moments. */
function matched(factors: readonly BetaFactor[], p: number): number {
  // logs of M1 and of M2 / M1, so that nothing below is a difference of near-equal numbers
  let logFirst = 0;
  let logStep = 0;
  for (const { left, events } of factors) {
    const total = left + 1 + events;
    logFirst += Math.log1p(-events / total);
    logStep += Math.log1p(-events / (total + 1));
  }
  const spread = Math.exp(logStep) * -Math.expm1(logFirst - logStep);
  const a = Math.exp(logFirst) * -Math.expm1(logStep) / spread;
  const b = -Math.expm1(logFirst) * -Math.expm1(logStep) / spread;
  return distributions.betaQuantile(p, a, b);
}

/** P(sum of independent exponentials with these rates > x), and the density of the sum at x. */
function notThrough(
  rates: readonly number[],
  fastest: number,
  x: number,
): { tail: number; density: number } {
  const k = rates.length;
  const reach = fastest * x;
  const at = new Float64Array(k); // where the chain is after so many steps
  at[0] = 1;
  const go = Float64Array.from(rates, (rate) => rate / fastest);
  let tail = 0;
  let inLast = 0;
  let weight = Math.exp(-reach); // Poisson probability of n steps
  for (let n = 0;; n++) {
    if (n > 0) {
      weight = reach < 700
        ? weight * reach / n
        : Math.exp(-deviance(n, reach) - stirlingRest(n)) / Math.sqrt(2 * Math.PI * n);
    }
    let within = 0;
    for (let i = 0; i < k; i++) within += at[i]!;
    tail += weight * within;
    inLast += weight * at[k - 1]!;
    // what is left is below the sum of a geometric series of the later Poisson probabilities
    if (n > reach && weight * within / (1 - reach / (n + 1)) <= 1e-17 * tail) break;
    for (let i = k - 1; i > 0; i--) at[i] = at[i]! * (1 - go[i]!) + at[i - 1]! * go[i - 1]!;
    at[0]! *= 1 - go[0]!;
  }
  return { tail, density: inLast * rates[k - 1]! };
}
