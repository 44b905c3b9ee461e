import type { MatchedSample } from "../../balance/samples/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import type { Interval } from "../../numerics/mod.ts";
import { rosenbaumThreshold, stateByTime, supposedConfounder } from "../../sensitivity/bias/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { formatNumber, levelText } from "../../words/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/**
 * What a risk ratio would be, were each confounder that the study file supposes as it is believed
 * to be: as it stands, with the belief's uncertainty alone, and with chance as well.
 *
 * @param ratio First group over second; its standard error is of the logarithm.
 */
export function supposedTable(
  heading: TableHeading,
  ratio: Interval,
  study: Pick<Study, "bias" | "seed" | "confidence">,
): DisplayTable {
  const as = ({ median, lower, upper }: { median: number; lower: number; upper: number }) => (
    { estimate: median, lower, upper }
  );
  const asItStands = {
    supposed: "None: as estimated",
    estimate: ratio.estimate,
    lower: ratio.lower,
    upper: ratio.upper,
    turned: null,
  };
  const rows = study.bias.supposed.map(({ label, outcome, repair, replacement }) => {
    const { total, turned } = supposedConfounder(
      { scale: "ratio", value: ratio.estimate, standardError: ratio.standardError },
      { outcome, prevalence: [repair, replacement] },
      { seed: study.seed },
    );
    return { supposed: label, ...as(total), turned };
  });
  return table({
    ...heading,
    notes: [
      ...study.bias.supposed.map(({ label, source }) => `${label}: ${source}.`),
      ...heading.notes ?? [],
    ],
    columns: [
      { key: "supposed", label: "Confounder supposed", kind: "text" },
      { key: "estimate", label: "Risk ratio", kind: "number", digits: 2 },
      { key: "lower", label: `${levelText(study.confidence)} from`, kind: "number", digits: 2 },
      { key: "upper", label: "to", kind: "number", digits: 2 },
      { key: "turned", label: "Ends on the other side of 1", kind: "percent", digits: 0 },
    ],
    rows: [asItStands, ...rows],
  });
}

/** Whether the pairs show more events on one side, and how much hidden bias that withstands. */
export interface PairsWithstand {
  /** Pairs in which the state of both partners is known. */
  known: number;
  /** Side with more events where just one partner had one; undefined where neither. */
  more: "repair" | "replacement" | undefined;
  /** Largest factor of hidden bias that leaves it; null where there is nothing to withstand. */
  gamma: number | null;
}

/**
 * Pairs by the state of both partners at a time, and the hidden bias that a difference between them
 * withstands at a one-sided level of half of 0.05.
 *
 * @see rosenbaumThreshold
 */
export function pairsWithstand(
  followUp: EndpointFollowUp,
  { pairs }: Pick<MatchedSample, "pairs">,
  time: number,
): PairsWithstand {
  const states = stateByTime(followUp, { time });
  const at = new Map(Array.from(followUp.rows, (row, i) => [row, states[i]!]));
  let [known, first, second] = [0, 0, 0];
  for (const [repair, replacement] of pairs) {
    const one = at.get(repair) ?? NaN;
    const other = at.get(replacement) ?? NaN;
    if (Number.isNaN(one) || Number.isNaN(other)) continue;
    known++;
    if (one > other) first++;
    if (other > one) second++;
  }
  const more = first > second ? "repair" : second > first ? "replacement" : undefined;
  const [most, least] = [Math.max(first, second), Math.min(first, second)];
  const gamma = more
    ? rosenbaumThreshold({ discordantTreated: most, discordantControl: least }, { alpha: 0.025 })
    : null;
  return { known, more, gamma };
}

/** The same in a sentence. */
export function withstandSentence(
  { known, more, gamma }: PairsWithstand,
  { what, phrases }: { what: string; phrases: Record<"repair" | "replacement", string> },
): string {
  if (known === 0) return "There is no pair in which it is known of both partners.";
  if (!more) return `Within pairs, ${what} was as common after either operation.`;
  const side = `Within pairs, ${what} was more common after ${phrases[more]}`;
  return gamma === null
    ? `${side}, but not by more than chance allows: there is nothing for hidden bias to undo.`
    : `${side}. Chance and hidden bias together explain it once two partners can differ by a ` +
      `factor of ${formatNumber(gamma, { digits: 2 })} in their odds of an operation.`;
}
