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
 * Limits of survival that mean something where few events, or none, have been seen: the beta
 * product procedure.
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
  const rows = table.time.length;
  const effective = effectiveNumbers(columns, table);
  const factors: BetaFactor[] = [];
  const lower = new Float64Array(rows);
  const upper = new Float64Array(rows);
  const atStart = limitsOf(factors, effective.atStart, confidence);
  for (let j = 0; j < rows; j++) {
    const factor = factorAt(table, effective, j);
    if (factor) factors.push(factor);
    const same = !factor && j > 0 && effective.after[j] === effective.after[j - 1];
    [lower[j], upper[j]] = same
      ? [lower[j - 1]!, upper[j - 1]!]
      : limitsOf(factors, effective.after[j]!, confidence, factor ? undefined : upper[j - 1]);
  }
  return { lower, upper, atStart, past: [0, upper[rows - 1]!] };
}

/** The same limits after one row of the table (-1: before the first), at any level. */
export function fewEventsLimitsAfter(
  table: EventTable,
  effective: EffectiveNumbers,
  row: number,
): (confidence: number) => [lower: number, upper: number] {
  const factors: BetaFactor[] = [];
  for (let j = 0; j <= row; j++) {
    const factor = factorAt(table, effective, j);
    if (factor) factors.push(factor);
  }
  const after = row < 0 ? effective.atStart : effective.after[row]!;
  return (confidence) => limitsOf(factors, after, confidence);
}

function factorAt(
  table: EventTable,
  effective: EffectiveNumbers,
  j: number,
): BetaFactor | undefined {
  if (table.eventCount[j] === 0) return undefined;
  const events = table.event[j]! / table.atRisk[j]! * effective.atRisk[j]!;
  return { left: Math.max(0, effective.atRisk[j]! - events), events };
}

function limitsOf(
  factors: BetaFactor[],
  after: number,
  confidence: number,
  upper?: number,
): [lower: number, upper: number] {
  const tail = (1 - confidence) / 2;
  return [
    after > 0
      ? betaProductQuantile([...factors, { left: Math.max(0, after - 1), events: 1 }], tail)
      : 0,
    upper ?? betaProductQuantile(factors, 1 - tail),
  ];
}

/** How many equally weighted patients those under observation are worth. */
export interface EffectiveNumbers {
  /** At risk at each time, and still at risk just after it. */
  atRisk: Float64Array;
  after: Float64Array;
  /** At risk from time 0 on. */
  atStart: number;
}

/** Effective numbers along a table: (sum w)^2 / sum w^2, rows without weights. */
export function effectiveNumbers(
  columns: FollowUpColumns,
  table: EventTable,
): EffectiveNumbers {
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
