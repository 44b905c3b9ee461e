import { distributions } from "../../numerics/mod.ts";
import { countTails, midLowerTail, poissonBinomial } from "./poisson-binomial.ts";

/** How many of some independent trials, each with a chance of its own, may succeed. */
export interface TrialCounts {
  /** Chance of at most so many, which it includes. */
  atMost(count: number): number;
  /** Chance of at least so many, which it includes. */
  atLeast(count: number): number;
  /** Chance of fewer, and half of that of the count itself; in between it rises evenly. */
  midBelow(count: number): number;
}

// A variance from which on the expansion is as good as exact: see the test.
const wide = 400;

/**
 * The number of successes among trials: exact by convolution up to a variance of 400, past it by
 * Edgeworth's expansion to the fourth cumulant. A sum of a smooth density over whole counts is its
 * integral to half way to the next, the variance being less by 1 / 12; with half of the last count,
 * to that count, the variance being more by 1 / 6 (Euler and Maclaurin). Cost: O(n sd), or O(n).
 *
 * @see Hall (1992) The Bootstrap and Edgeworth Expansion, ch. 2; for counts: Esseen (1945) Acta
 * Math 77:1-125.
 */
export function trialCounts(chance: Float64Array): TrialCounts {
  const { mean, variance, third, fourth } = cumulantsOf(chance);
  if (variance < wide) {
    const mass = poissonBinomial(chance);
    return {
      atMost: (count) => countTails(mass, count).atMost,
      atLeast: (count) => countTails(mass, count).atLeast,
      midBelow: (count) => midLowerTail(mass, count),
    };
  }
  const below = (distance: number, own: number, turned = 1) => {
    const sd = Math.sqrt(own);
    return edgeworth(distance / sd, turned * third / sd ** 3, fourth / sd ** 4);
  };
  return {
    atMost: (count) => below(count + 0.5 - mean, variance - 1 / 12),
    atLeast: (count) => below(mean - (count - 0.5), variance - 1 / 12, -1),
    midBelow(count) {
      const whole = Math.floor(count);
      const at = (k: number) => below(k - mean, variance + 1 / 6);
      return at(whole) + (count - whole) * (at(whole + 1) - at(whole));
    },
  };
}

function cumulantsOf(chance: Float64Array) {
  let [mean, variance, third, fourth] = [0, 0, 0, 0];
  for (let i = 0; i < chance.length; i++) {
    const p = chance[i]!;
    const v = p * (1 - p);
    mean += p;
    variance += v;
    third += v * (1 - 2 * p);
    fourth += v * (1 - 6 * v);
  }
  return { mean, variance, third, fourth };
}

/** Lower tail at x of a standardised sum; where the expansion goes wrong, far out, 0 or 1. */
function edgeworth(x: number, skewness: number, kurtosis: number): number {
  const density = Math.exp(-x * x / 2) / Math.sqrt(2 * Math.PI);
  const square = x * x;
  const terms = skewness / 6 * (square - 1) + kurtosis / 24 * x * (square - 3) +
    skewness ** 2 / 72 * x * (square * square - 10 * square + 15);
  return Math.min(1, Math.max(0, distributions.normalLower(x) - density * terms));
}
