import {
  checkNumber,
  checkWhole,
  DataError,
  distributions,
  numberColumn,
  type Numbers,
  orderOf,
} from "../../numerics/mod.ts";

/** Bounds of a one-sided p value, one of each for each gamma. */
export interface RosenbaumBounds {
  /** How many times likelier one of two alike could have been to be treated. */
  gamma: Float64Array;
  /** The largest p value that hidden bias of that size could leave. */
  upperP: Float64Array;
  /** The smallest. */
  lowerP: Float64Array;
}

/**
 * How much hidden bias it would take to undo a finding in matched pairs with a yes/no outcome.
 *
 * Two partners may differ in their odds of treatment by a factor of up to gamma. Then, of the pairs
 * in which one partner had the event, the treated one had it with probability at most
 * gamma / (1 + gamma): the bound is the exact binomial tail P(at least as many), one-sided towards
 * more events in the treated. `upperNormal` is the normal approximation with continuity correction,
 * which older tables print.
 *
 * @param data.discordantTreated Pairs in which only the treated had the event.
 * @param data.discordantControl Pairs in which only the control had it.
 * @param data.gamma Each at least 1.
 * @throws {DataError}
 * @see Rosenbaum (2002) Observational Studies, 2nd ed., section 4.3.2.
 */
export function rosenbaumBounds(
  data: { discordantTreated: number; discordantControl: number; gamma: Numbers },
): RosenbaumBounds & { upperNormal: Float64Array } {
  const events = checkWhole("discordantTreated", data.discordantTreated, 0);
  const pairs = events + checkWhole("discordantControl", data.discordantControl, 0);
  if (pairs === 0) throw new DataError("discordantTreated", "above 0 if discordantControl is 0", 0);
  const gamma = numberColumn("gamma", data.gamma, { min: 1 });
  const tail = (share: number) => distributions.binomialAtLeast(events, pairs, share);
  return {
    gamma: gamma.slice(),
    upperP: gamma.map((g) => tail(g / (1 + g))),
    lowerP: gamma.map((g) => tail(1 / (1 + g))),
    upperNormal: gamma.map((g) => {
      const share = g / (1 + g);
      const deviation = Math.sqrt(pairs * share * (1 - share));
      return distributions.normalUpper((events - 0.5 - pairs * share) / deviation);
    }),
  };
}

/**
 * The same for a number measured in both partners: bounds for Wilcoxon's signed-rank test,
 * one-sided towards positive differences, by the normal approximation
 * without continuity correction.
 *
 * Differences of 0 are dropped; differences that agree to 10 decimals share midranks.
 *
 * @param data.difference Treated minus control, one a pair.
 * @param data.gamma Each at least 1.
 * @returns Also the sum of the ranks of positive differences, and how many differences are not 0.
 * @throws {DataError}
 * @see Rosenbaum (2002) Observational Studies, 2nd ed., section 4.3.3.
 */
export function signedRankBounds(
  data: { difference: Numbers; gamma: Numbers },
): RosenbaumBounds & { statistic: number; used: number } {
  const gamma = numberColumn("gamma", data.gamma, { min: 1 });
  const difference = numberColumn("difference", data.difference)
    .map((d) => Math.round(d * 1e10) / 1e10)
    .filter((d) => d !== 0);
  const used = difference.length;
  if (used === 0) throw new DataError("difference", "other than 0 in at least one pair", 0, 0);
  const size = difference.map(Math.abs);
  const order = orderOf(size);
  let statistic = 0;
  let ranks = 0;
  let squares = 0;
  for (let first = 0; first < used;) {
    let end = first;
    while (end < used && size[order[end]!] === size[order[first]!]) end++;
    const rank = (first + 1 + end) / 2;
    for (let i = first; i < end; i++) {
      if (difference[order[i]!]! > 0) statistic += rank;
      ranks += rank;
      squares += rank * rank;
    }
    first = end;
  }
  // the ranks that differ from the bound's mean, so that a huge gamma costs no digits
  const against = ranks - statistic;
  const tail = (odds: number) =>
    distributions.normalUpper((statistic - odds * against) / Math.sqrt(odds * squares));
  return {
    gamma: gamma.slice(),
    upperP: gamma.map((g) => tail(g)),
    lowerP: gamma.map((g) => tail(1 / g)),
    statistic,
    used,
  };
}

/**
 * The gamma at which the upper bound of the p value of {@link rosenbaumBounds} reaches alpha:
 * hidden bias up to there leaves the finding significant. Null where it is not significant even
 * without hidden bias.
 *
 * @throws {DataError}
 */
export function rosenbaumThreshold(
  data: { discordantTreated: number; discordantControl: number },
  options: { alpha?: number } = {},
): number | null {
  const alpha = checkNumber("alpha", options.alpha ?? 0.05, (a) => a > 0 && a < 1, "in (0, 1)");
  const upper = (gamma: number) => rosenbaumBounds({ ...data, gamma: [gamma] }).upperP[0]!;
  if (upper(1) > alpha) return null;
  // bisection on the log: the bound rises with gamma, to 1
  let low = 0;
  let high = 1;
  while (upper(Math.exp(high)) <= alpha) high *= 2;
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2;
    if (upper(Math.exp(middle)) <= alpha) low = middle;
    else high = middle;
  }
  return Math.exp(low);
}
