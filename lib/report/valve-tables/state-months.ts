import type { StateTimeContrast } from "../../competing/states/mod.ts";
import { formatEstimate, formatNumber, formatP, levelText } from "../../words/mod.ts";
import {
  type DisplayTable,
  type GroupLabels,
  table,
  type TableHeading,
  type TableRow,
} from "../show/mod.ts";

const monthsInYear = 12;

/** Years spent in each state, by the names of the states. */
export interface StateTimes {
  /** Names of the states. */
  states: readonly string[];
  /** Time in each state, by group, with the difference. */
  time: readonly StateTimeContrast[];
}

/** Months of each group in each state within the horizon, and the difference; one line a state. */
export function stateMonthsTable(
  heading: TableHeading & {
    labels: GroupLabels;
    confidence?: number;
  },
  { states, time }: StateTimes,
): DisplayTable {
  const { labels, confidence = 0.95, ...rest } = heading;
  const months = { unit: "months", kind: "number" as const, digits: 1 };
  return table({
    ...rest,
    columns: [
      { key: "state", label: "State", kind: "text" },
      { key: "repair", label: labels.repair, ...months },
      { key: "replacement", label: labels.replacement, ...months },
      { key: "difference", label: "Difference", ...months },
      { key: "lower", label: `${levelText(confidence)} from`, ...months },
      { key: "upper", label: "to", ...months },
      { key: "p", label: "p", kind: "pvalue" },
    ],
    rows: time.map(({ groups, difference }, k): TableRow => ({
      state: states[k] ?? "",
      repair: monthsOf(groups, 1),
      replacement: monthsOf(groups, 0),
      difference: monthsInYear * difference.estimate,
      lower: monthsInYear * difference.lower,
      upper: monthsInYear * difference.upper,
      p: difference.pValue,
    })),
  });
}

/** How long the patients of each group lived without a recurrence found, in one sentence. */
export function monthsFreeSentence(
  { time }: Pick<StateTimes, "time">,
  { horizon, phrases }: { horizon: number; phrases: { repair: string; replacement: string } },
): string {
  const [free] = time;
  if (!free) return "Nobody was at risk of recurrence.";
  const { groups, difference: { estimate, lower, upper, pValue } } = free;
  const change = formatEstimate({
    estimate: monthsInYear * estimate,
    lower: monthsInYear * lower,
    upper: monthsInYear * upper,
  }, { digits: 1 });
  const lived = (code: number) => formatNumber(monthsOf(groups, code), { digits: 1 });
  return `Of the first ${monthsInYear * horizon} months, ${
    lived(1)
  } were lived without a recurrence ` +
    `found after ${phrases.repair}, ${
      lived(0)
    } after ${phrases.replacement}; difference ${change} ` +
    `months, ${formatP(pValue)}.`;
}

function monthsOf(
  groups: readonly { group: string | number; estimate: number }[],
  code: number,
): number | null {
  const own = groups.find(({ group }) => Number(group) === code);
  return own ? monthsInYear * own.estimate : null;
}
