import { type BetaFactor, betaProductQuantile, type FollowUpColumns } from "../../numerics/mod.ts";
import { type EventTable, eventTable } from "./event-table.ts";

/** Limits of survival, one pair a row of a table. */
export interface FewEventsLimits {
  lower: Float64Array;
  upper: Float64Array;
  /** Before the first row. */
  atStart: [lower: number, upper: number];
  /** After the last row; a survival that nobody was followed for may still not rise. */
  past?: [lower: number, upper: number];
}

/**
 * Limits of survival that mean something where few events, or none, have been seen: the beta product
 * procedure.
 *
 * The upper limit of S(t) is the quantile 1 - a, a = (1 - confidence) / 2, of a product W of
 * independent Beta(Y - d + 1, d) variables, one an event time up to t, Y at risk and d failing; the
 * lower limit the quantile a of W times one more Beta(Y(t+), 1), since the next of the Y(t+) still
 * at risk could fail straight away. Without an event by t that is [a^(1/Y(t+)), 1]; without
 * censoring both are Clopper and Pearson's. The lower limit falls at censorings too, and is 0 once
 * nobody is left.
 *
 * Under weights Y is the effective number at risk, (sum w)^2 / sum w^2, and d the same share of it
 * as the weighted events are of the weight at risk.
 *
 * @see Fay, Brittain & Proschan (2013) Biostatistics 14:723-736; effective number: Kish (1965)
 * Survey Sampling, section 11.7.
 */
export function fewEventsLimits(
  columns: FollowUpColumns,
  table: EventTable,
  confidence: number,
): FewEventsLimits {
  const tail = (1 - confidence) / 2;
  const rows = table.time.length;
  const effective = effectiveNumbers(columns, table);
  const factors: BetaFactor[] = [];
  const lowest = (after: number) =>
    after > 0
      ? betaProductQuantile([...factors, { left: Math.max(0, after - 1), events: 1 }], tail)
      : 0;
  const lower = new Float64Array(rows);
  const upper = new Float64Array(rows);
  const atStart: [number, number] = [lowest(effective.atStart), 1];
  for (let j = 0; j < rows; j++) {
    const some = table.eventCount[j]! > 0;
    if (some) {
      const share = table.event[j]! / table.atRisk[j]!;
      const events = share * effective.atRisk[j]!;
      factors.push({ left: effective.atRisk[j]! - events, events });
    }
    const repeats = !some && j > 0;
    upper[j] = repeats ? upper[j - 1]! : betaProductQuantile(factors, 1 - tail);
    lower[j] = repeats && effective.after[j] === effective.after[j - 1]
      ? lower[j - 1]!
      : lowest(effective.after[j]!);
  }
  return { lower, upper, atStart, past: [0, upper[rows - 1]!] };
}

/** How many equally weighted patients those at risk are worth: at each time, just after it, at 0+. */
export function effectiveNumbers(
  columns: FollowUpColumns,
  table: EventTable,
): { atRisk: Float64Array; after: Float64Array; atStart: number } {
  const { weight } = columns;
  if (!weight) {
    return {
      atRisk: table.atRiskCount,
      after: stillAtRisk(columns, table),
      atStart: startingSum(columns),
    };
  }
  const squares = { ...columns, weight: weight.map((w) => w * w) };
  const ofSquares = eventTable(squares);
  const number = (sum: number, square: number) => square > 0 ? sum * sum / square : 0;
  const afterSquares = stillAtRisk(squares, ofSquares);
  const nobody = stillAtRisk({ ...columns, weight: undefined }, table);
  return {
    atRisk: table.atRisk.map((sum, j) => number(sum, ofSquares.atRisk[j]!)),
    after: stillAtRisk(columns, table)
      .map((sum, j) => nobody[j] === 0 ? 0 : number(sum, afterSquares[j]!)),
    atStart: number(startingSum(columns), startingSum(squares)),
  };
}

/** Weight (rows, without weights) at risk just after each time: entry <= time < exit. */
function stillAtRisk(columns: FollowUpColumns, table: EventTable): Float64Array {
  const { n, sortedTime, order, entry, entryOrder, weight } = columns;
  const rows = table.time.length;
  const sum = new Float64Array(rows);
  let i = n - 1;
  let k = n - 1;
  let later = 0;
  let yetToEnter = 0;
  for (let j = rows - 1; j >= 0; j--) {
    for (; i >= 0 && sortedTime[i]! > table.time[j]!; i--) later += weight?.[order[i]!] ?? 1;
    if (entry && entryOrder) {
      for (; k >= 0 && entry[entryOrder[k]!]! > table.time[j]!; k--) {
        yetToEnter += weight?.[entryOrder[k]!] ?? 1;
      }
    }
    sum[j] = Math.max(0, later - yetToEnter);
  }
  return sum;
}

/** Weight (rows, without weights) at risk from time 0 on. */
function startingSum({ entry, weight, order }: FollowUpColumns): number {
  let sum = 0;
  for (const row of order) if (!entry || entry[row]! <= 0) sum += weight?.[row] ?? 1;
  return sum;
}
