import type { MatchingOrders } from "../../sensitivity/orders/mod.ts";
import type { GroupPhrases } from "../../study/plan/mod.ts";
import type { RestrictedMeanDifference } from "../../survival/curve/mod.ts";
import { formatNumber, formatP, per100, roundTo } from "../../words/mod.ts";
import type { Test } from "../../numerics/mod.ts";

/** The log-rank test within pairs, where there are any, and that of everybody. */
export function logRankSentence(
  tests: {
    withinPairs: Pick<Test, "statistic" | "pValue"> | null;
    unadjusted: Pick<Test, "statistic" | "pValue">;
  },
): string {
  const words = ({ statistic, pValue }: Pick<Test, "statistic" | "pValue">) =>
    `chi-square ${formatNumber(statistic, { digits: 2 })}, ${formatP(pValue)}`;
  const paired = tests.withinPairs
    ? `Log-rank test stratified by pair: ${words(tests.withinPairs)}. Without`
    : "There are no pairs to compare within. Log-rank test without";
  return `${paired} adjustment, in everybody: ${words(tests.unadjusted)}.`;
}

/**
 * How far the matched answer moves with the order of matching, and that it is no sampling error.
 */
export function orderSentence(
  { named, drawn }: MatchingOrders,
  { phrases, mainHorizon }: { phrases: GroupPhrases; mainHorizon: number },
): string {
  const estimates = named.map(({ contrast }) => contrast.difference.estimate);
  const spread = (values: ArrayLike<number>) => {
    const sorted = Float64Array.from(values).sort();
    return `${perHundred(sorted[0] ?? NaN)} to ${perHundred(sorted.at(-1) ?? NaN)}`;
  };
  const own = named.find(({ planned }) => planned);
  const plan = own
    ? ` The plan's own order (${own.label}) gives ${perHundred(own.contrast.difference.estimate)}.`
    : "";
  const lot = drawn.length > 0
    ? `, and from ${spread(drawn)} over ${drawn.length} orders drawn by lot`
    : "";
  return `Alive at ${mainHorizon} years per 100 after ${phrases.repair}, compared with ` +
    `${phrases.replacement}: from ${spread(estimates)} over the ${named.length} orders${lot}. ` +
    `The patients are the same throughout: this spread is the analyst's, not chance.${plan}`;
}

/** Time lived within a horizon, in whole months, of the patients that a design is about. */
export function yearsOfLifeSentence(
  { horizon, difference }: RestrictedMeanDifference,
  { phrases, whom }: { phrases: GroupPhrases; whom: string },
): string {
  const { estimate, lower, upper } = difference;
  return `Within the first ${formatNumber(horizon)} years, ${whom}: time lived after ` +
    `${phrases.repair} compared with ${phrases.replacement} is about ${longer(estimate)} ` +
    `(plausible range: ${longer(lower)} to ${longer(upper)}).`;
}

function perHundred(share: number): string {
  const rounded = roundTo(per100(share), 1);
  if (rounded === 0) return "no difference";
  const size = formatNumber(Math.abs(rounded), { digits: 1 });
  return `${size} ${rounded > 0 ? "more" : "fewer"}`;
}

function longer(years: number): string {
  if (Number.isNaN(years)) return "not known";
  const months = roundTo(12 * years, 0);
  if (months === 0) return "equally long";
  const size = Math.abs(months);
  return `${size} ${size === 1 ? "month" : "months"} ${months > 0 ? "longer" : "shorter"}`;
}
