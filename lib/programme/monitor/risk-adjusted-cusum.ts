import { binaryColumn, checkDataColumns, checkNumber, type Numbers } from "../../numerics/mod.ts";
import { riskColumn } from "./risk-column.ts";

/** A risk-adjusted cumulative sum, one value an operation. */
export interface RiskAdjustedCusum {
  /** Log-likelihood ratio of each operation. */
  score: Float64Array;
  /** The chart's height after each operation; at a signal, before any restart. */
  path: Float64Array;
  /** 0-based places at or above the limit; that operation counts. Empty without a limit. */
  signals: number[];
}

/**
 * Risk-adjusted cumulative sum chart of log-likelihood ratios, for watching a series of operations.
 *
 * Each operation scores log(R^y / (1 - p + R p)), p its expected risk and R the odds ratio that the
 * chart is to find; the chart is C = max(0, C + score) from 0. R above 1 looks for deterioration, R
 * below 1 for improvement. Operations must be in the order in which they were done. Cost O(n).
 *
 * @example
 * ```ts
 * import { riskAdjustedCusum } from "mitral";
 *
 * const outcome = [0, 1, 0, 1];
 * const expected = [0.02, 0.1, 0.05, 0.2];
 * riskAdjustedCusum({ outcome, expected }, { oddsRatio: 2, limit: 1 }).signals; // [3]
 * ```
 * @param data.outcome 1 for a failure, 0 otherwise.
 * @param data.expected Risk of failure of each operation, strictly between 0 and
 * 1, known beforehand.
 * @param options.oddsRatio Above 0 and not 1.
 * @param options.limit Height at or above which the chart signals, above 0.
 * @param options.restart Whether the chart begins again from 0 after a signal (false).
 * @throws {DataError}
 * @see Steiner, Cook, Farewell & Treasure (2000) Biostatistics 1:441-452.
 */
export function riskAdjustedCusum(
  data: { outcome: Numbers; expected: Numbers },
  options: { oddsRatio: number; limit?: number; restart?: boolean },
): RiskAdjustedCusum {
  checkDataColumns("riskAdjustedCusum", data, ["outcome", "expected"]);
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  const expected = riskColumn("expected", data.expected, n);
  const oddsRatio = checkOddsRatio(options.oddsRatio);
  const { limit = Infinity, restart = false } = options;
  checkNumber("limit", limit, (h) => h > 0, "a number > 0");
  const score = new Float64Array(n);
  const path = new Float64Array(n);
  const signals: number[] = [];
  const logRatio = Math.log(oddsRatio);
  let height = 0;
  for (let i = 0; i < n; i++) {
    score[i] = outcome[i]! * logRatio + successScore(expected[i]!, oddsRatio);
    height = Math.max(0, height + score[i]!);
    path[i] = height;
    if (height >= limit) {
      signals.push(i);
      if (restart) height = 0;
    }
  }
  return { score, path, signals };
}

/** Score of an operation without failure; one with a failure scores log(oddsRatio) more. */
export function successScore(risk: number, oddsRatio: number): number {
  return -Math.log1p((oddsRatio - 1) * risk);
}

/** Checks the odds ratio a chart is to find. @throws {DataError} */
export function checkOddsRatio(oddsRatio: number): number {
  const fits = (ratio: number) => ratio > 0 && ratio < Infinity && ratio !== 1;
  return checkNumber("oddsRatio", oddsRatio, fits, "a finite number > 0, and not 1");
}
