import { extentOf, valuesAt } from "../../numerics/mod.ts";
import { hasColumn, numericColumn } from "../../cohort/model/mod.ts";
import { complexityScore } from "../complexity/mod.ts";
import { limitForRunLength, observedMinusExpected, riskAdjustedCusum } from "../monitor/mod.ts";
import {
  blockMeans,
  difficultiesOf,
  type ProgrammeOperations,
  publishableBlocks,
} from "../operations/mod.ts";
import type { Withheld } from "./withheld.ts";

/** The programme's charts, as means over blocks of operations that may be shown. */
export interface ProgrammeMonitoring {
  /** First calendar year charted; the operations before it say what to expect. */
  from: number;
  /** Operations behind the expectation, and those charted. */
  learntFrom: number;
  /** Operations on the chart. */
  charted: number;
  /** Events that happened. */
  observed: number;
  /** Events expected. */
  expected: number;
  /** Mean calendar year of each block, and the charts' means in it. */
  at: Float64Array;
  /** Events less those expected so far, mean of each block. */
  excess: Float64Array;
  /** The chart that looks for a worse result, and where it signals. */
  worse: { height: Float64Array; limit: number };
  /** The chart that looks for a better result, and where it signals. */
  better: { height: Float64Array; limit: number };
  /** Charts begin again after a signal. */
  signals: { at: number; kind: "worse" | "better" }[];
  /** exp(coefficient). */
  oddsRatio: number;
  /** Operations until a false signal, on average. */
  runLength: number;
}

/**
 * Repairs that were given up or left with a leak, charted against what the programme's own first
 * years let expect of operations as hard. What makes them hard is learnt from those years too:
 * nothing that is charted had a part in what was expected of it.
 */
export function programmeMonitoring(
  operations: ProgrammeOperations,
): ProgrammeMonitoring | Withheld {
  const { analysis, attempted, year, order } = operations;
  const { programme, smallestCell } = analysis.study;
  const { oddsRatio, runLength } = programme.monitoring;
  const failed = failuresOf(operations);
  const rows = [...order].filter((row) => attempted[row] === 1 && !Number.isNaN(failed[row]!));
  if (rows.length === 0) return { why: "No repair was attempted whose result is known." };
  const years = rows.map((row) => year[row]!);
  const [first, last] = extentOf(years);
  const from = programme.monitoring.from ?? Math.ceil((first + last + 1) / 2);
  const before = rows.filter((row) => year[row]! < from);
  const after = rows.filter((row) => year[row]! >= from);
  const learnt = valuesAt(failed, before);
  const events = learnt.reduce((sum, value) => sum + value, 0);
  if (events < 10 || before.length - events < 10 || after.length === 0) {
    return { why: `Fewer than 10 failures before ${from}, or no operation from then on.` };
  }
  const outcome = valuesAt(failed, after);
  const blocks = publishableBlocks(outcome, smallestCell);
  if (blocks.ranges.length < 3) {
    return { why: "Too few failures for a series in which no single operation can be seen." };
  }
  const expected = expectedOf(operations, { learnt, before, after });
  const charted = { outcome, expected };
  const chart = (ratio: number) => {
    const { limit } = limitForRunLength({ expected, oddsRatio: ratio, mean: runLength });
    return { limit, ...riskAdjustedCusum(charted, { oddsRatio: ratio, limit, restart: true }) };
  };
  const [worse, better] = [chart(oddsRatio), chart(1 / oddsRatio)];
  const signals = ([["worse", worse], ["better", better]] as const).flatMap(([kind, { signals }]) =>
    signals.map((place) => ({ at: year[after[place]!]!, kind }))
  );
  return {
    from,
    learntFrom: before.length,
    charted: after.length,
    observed: outcome.reduce((sum, value) => sum + value, 0),
    expected: expected.reduce((sum, value) => sum + value, 0),
    at: blockMeans(valuesAt(year, after), blocks),
    excess: blockMeans(observedMinusExpected(charted), blocks),
    worse: { height: blockMeans(worse.path, blocks), limit: worse.limit },
    better: { height: blockMeans(better.path, blocks), limit: better.limit },
    signals: signals.sort((a, b) => a.at - b.at),
    oddsRatio,
    runLength,
  };
}

/** Chances of failure of later operations, by a score made from the earlier ones alone. */
function expectedOf(
  { analysis }: ProgrammeOperations,
  { learnt, before, after }: { learnt: Float64Array; before: number[]; after: number[] },
): Float64Array {
  const items = difficultiesOf(analysis);
  const of = (rows: number[]) =>
    Object.fromEntries(items.map(({ label, holds }) => [label, valuesAt(holds, rows)]));
  const share = learnt.reduce((sum, value) => sum + value, 0) / learnt.length;
  if (items.length === 0) return new Float64Array(after.length).fill(share);
  const score = complexityScore({ outcome: learnt, items: of(before) });
  return score.riskOf(score.pointsOf(of(after)));
}

/**
 * 1 where a repair was given up or left with a leak of grade 2 or more; NaN where that
 * is not known.
 */
function failuresOf({ analysis, converted }: ProgrammeOperations): Float64Array {
  const grade = hasColumn(analysis, "mr_exit") ? numericColumn(analysis, "mr_exit") : undefined;
  return Float64Array.from(converted, (value, row) => {
    if (value === 1 || !grade) return value;
    return Number.isNaN(grade[row]!) ? NaN : grade[row]! >= 2 ? 1 : 0;
  });
}
