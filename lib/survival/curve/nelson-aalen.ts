import {
  checkChoice,
  checkConfidence,
  checkDataColumns,
  distributions,
  FOLLOW_UP,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  type Numbers,
} from "../../numerics/mod.ts";
import { valuesAt } from "./curve-values.ts";
import { type EventTable, eventTable } from "./event-table.ts";

/** Options of {@link nelsonAalen}. */
export interface NelsonAalenOptions {
  /** Default "aalen"; with weights it is robust, whatever is asked for. */
  variance?: "aalen" | "binomial" | "klein";
  /** Default "plain". */
  interval?: "plain" | "log";
  /** Level of the limits, default 0.95. */
  confidence?: number;
}

/** A cumulative hazard at chosen times. */
export interface CumulativeHazardAt {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Weight at risk just before each time. */
  atRisk: Float64Array;
  /** Cumulative hazard at each time. */
  cumulativeHazard: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/** A cumulative hazard, one row a distinct observed time, ascending. */
export interface NelsonAalen extends CumulativeHazardAt {
  /** Step values; NaN past the last observed time. */
  at(times: Numbers): CumulativeHazardAt;
}

/**
 * Nelson-Aalen estimate of the cumulative hazard, H(t) = sum over t_j <= t of d_j / n_j.
 *
 * Variance: "aalen" sum d/n^2; "binomial" sum d (n - d)/n^3; "klein" sum d (n - d)/((n - 1) n^2),
 * terms with n = 1 being 0. With weights the infinitesimal jackknife, which takes them as known and
 * not as counts; doubling every weight changes nothing.
 *
 * Limits: plain H -+ z s, not below 0; log H exp(-+ z s / H). Before the first event [0, 0].
 * Ties, delayed entry and near-tied times as in {@link kaplanMeier}. Units: H has none; time the
 * caller's. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { nelsonAalen } from "mitral";
 * nelsonAalen({ time: [1, 2, 3, 4], event: [1, 1, 0, 1] }).at([2]).cumulativeHazard[0]; // 1/4 + 1/3
 * ```
 * @throws {DataError} for times, events, entries or weights out of range, or a bad option.
 * @see Nelson (1972) Technometrics 14:945-966; Aalen (1978) Ann Stat 6:701-726; Klein (1991) Scand
 * J Stat 18:333-340.
 */
export function nelsonAalen(data: FollowUp, options: NelsonAalenOptions = {}): NelsonAalen {
  checkDataColumns("nelsonAalen", data, FOLLOW_UP);
  const kinds = ["aalen", "binomial", "klein"] as const;
  const variance = checkChoice("variance", options.variance ?? "aalen", kinds);
  const interval = checkChoice("interval", options.interval ?? "plain", ["plain", "log"]);
  const z = distributions.normalUpperQuantile((1 - checkConfidence(options.confidence)) / 2);
  const columns = followUpColumns(data);
  const table = eventTable(columns);
  const { time, atRisk, event } = table;
  const cumulativeHazard = new Float64Array(time.length);
  let hazard = 0;
  for (let j = 0; j < time.length; j++) cumulativeHazard[j] = hazard += event[j]! / atRisk[j]!;
  const squares = columns.weight ? jackknife(columns, table) : summed(table, variance);
  const standardError = squares.map(Math.sqrt);
  const lower = new Float64Array(time.length);
  const upper = new Float64Array(time.length);
  cumulativeHazard.forEach((h, j) => {
    const reach = z * standardError[j]!;
    const factor = h > 0 ? Math.exp(reach / h) : 1;
    lower[j] = interval === "plain" ? Math.max(0, h - reach) : h / factor;
    upper[j] = interval === "plain" ? h + reach : h * factor;
  });
  const steps = { cumulativeHazard, standardError, lower, upper };
  const start = { cumulativeHazard: 0, standardError: 0, lower: 0, upper: 0 };
  return {
    time,
    atRisk,
    ...steps,
    at: (times) => valuesAt(steps, start, table, columns, times),
  };
}

function summed({ atRiskCount, eventCount }: EventTable, kind: string): Float64Array {
  let sum = 0;
  return atRiskCount.map((n, j) => {
    const d = eventCount[j]!;
    if (kind === "aalen") sum += d / (n * n);
    else if (kind === "binomial") sum += d * (n - d) / n ** 3;
    else if (n > 1) sum += d * (n - d) / ((n - 1) * n * n);
    return sum;
  });
}

/**
 * Sum over rows of (w dH/dw)^2, dH/dw = [fails by t] / n - (sum of D / n^2 while at risk).
 *
 * One walk: of those at risk the squares are w^2 (G(t) - G(entry))^2, G the sum of D / n^2, carried
 * as a quadratic in G.
 */
function jackknife(columns: FollowUpColumns, table: EventTable): Float64Array {
  const { n, sortedTime, order, event: code, entry, entryOrder, weight } = columns;
  const base = new Float64Array(columns.time.length);
  const w = (row: number) => weight?.[row] ?? 1;
  let [two, one, none] = [0, 0, 0]; // of those at risk: sums of w^2, w^2 base and w^2 base^2
  let gone = 0;
  let sum = 0;
  const move = (row: number, sign: number) => {
    const square = sign * w(row) ** 2;
    two += square;
    one += square * base[row]!;
    none += square * base[row]! ** 2;
  };
  if (!entry) { for (let k = 0; k < n; k++) move(order[k]!, 1); }
  let i = 0;
  let next = 0;
  return table.time.map((t, j) => {
    while (entry && entryOrder && next < n && entry[entryOrder[next]!]! < t) {
      const row = entryOrder[next++]!;
      base[row] = sum;
      move(row, 1);
    }
    const atRisk = table.atRisk[j]!;
    sum += table.event[j]! / atRisk ** 2;
    for (; i < n && sortedTime[i] === t; i++) {
      const row = order[i]!;
      move(row, -1);
      gone += (w(row) * ((code[row]! > 0 ? 1 / atRisk : 0) - (sum - base[row]!))) ** 2;
    }
    return Math.max(0, gone + two * sum * sum - 2 * one * sum + none);
  });
}
