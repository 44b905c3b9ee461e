import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  checkNumber,
  groupColumn,
  invertTail,
  type Labels,
  type Limits,
  MANY,
  type Numbers,
  quadraticForm,
} from "../../numerics/mod.ts";
import { trialCounts } from "./trial-counts.ts";
import { eachAlone, nearAlike, type RowsTogether } from "../predictions/mod.ts";
import { type ExpectedRisks, expectedRisks, shiftTo } from "./expected-risks.ts";

/** One unit's result against what its own operations let expect. */
export interface StandardizedUnit {
  /** Label of the unit, such as a surgeon. */
  unit: string | number;
  /** Rows. */
  n: number;
  /** Events that happened. */
  observed: number;
  /** Sum of its operations' expected chances. */
  expected: number;
  /** Observed over expected. */
  ratio: Limits;
  /** Odds of the unit over those of the programme (or target), operation for operation. */
  oddsRatio: Limits;
  /** The rate, had all operations of the programme been done with the unit's odds ratio. */
  rate: Limits;
  /**
   * Two-sided chance of a result at least as far from what is expected, if the unit is like the
   * programme (or target): twice the smaller mid-p tail.
   */
  pValue: number;
}

/** Units compared after allowing for their case mix. */
export interface StandardizedRates {
  /** What the units are compared with: the programme's own rate, or the target. */
  overall: number;
  /** One a unit. */
  units: StandardizedUnit[];
  /** Expected chance of each operation, at the overall rate. */
  expected: Float64Array;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
}

/**
 * Rates of units (surgeons) with their case mix allowed for: indirect standardisation.
 *
 * A logistic model of all operations, without units, gives each operation an expected chance. A
 * unit's odds ratio is the one at which its expected number equals the observed; limits are exact
 * for a sum of independent outcomes of different chances (Poisson-binomial), with the expected
 * chances taken as known. The p value allows for the model having been fitted to the unit's own
 * operations too: observed minus expected is divided by the square root of the share of its
 * variance that the fit has left.
 *
 * Units are not to be ranked: see the limits. Cost: that of the logistic regression and, for a unit
 * of m operations, O(m^1.5); O(m) where m is in the thousands (see `trialCounts`).
 *
 * @example
 * ```ts
 * import { standardizedRates } from "mitral";
 *
 * const outcome = [1, 1, 0, 1, 0, 1, 1, 0];
 * const unit = ["A", "A", "A", "A", "B", "B", "B", "B"];
 * const complexity = [0, 1, 2, 0, 2, 0, 1, 1];
 * standardizedRates({ outcome, unit, covariates: { complexity } }).units[0]?.rate;
 * ```
 * @param data.outcome 0 or 1, both present.
 * @param data.covariates What is allowed for, known before the operation; may be left out.
 * @param options.target A proportion to compare with, for the programme's average case mix, in
 * place of the programme's own rate.
 * @param options.confidence 0.95.
 * @throws {DataError}
 * @see Indirect standardisation: Breslow & Day (1987) IARC Sci Publ 82, ch. 2; mid-p: Lancaster
 * (1961) JASA 56:223-234.
 */
export function standardizedRates(
  data: { outcome: Numbers; unit: Labels; covariates?: Record<string, Numbers> },
  options: { confidence?: number; target?: number } = {},
): StandardizedRates {
  checkDataColumns("standardizedRates", data, ["outcome", "unit", "covariates"]);
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const { target } = options;
  if (target !== undefined) {
    checkNumber("target", target, (p) => p > 0 && p < 1, "strictly between 0 and 1");
  }
  const outcome = binaryColumn("outcome", data.outcome);
  const { codes, labels } = groupColumn("unit", data.unit, outcome.length);
  const fitted = expectedRisks(outcome, data.covariates);
  const shift = target === undefined ? 0 : shiftTo(fitted.logOdds, target);
  const all = fitted.logOdds.map((logOdds) => logOdds + shift);
  const together = all.length > MANY ? nearAlike(all) : eachAlone(all);
  const members = labels.map((): number[] => []);
  codes.forEach((code, row) => members[code]!.push(row));
  const expected = all.map(chanceOf);
  return {
    overall: mean(expected),
    units: members.map((rows, code) => {
      const kept = target === undefined ? varianceKept(fitted, rows) : 1;
      return { unit: labels[code]!, ...oneUnit({ outcome, all, together, rows, kept, tail }) };
    }),
    expected,
    converged: fitted.reason === undefined,
    ...(fitted.reason !== undefined && { reason: fitted.reason }),
  };
}

function oneUnit(
  { outcome, all, together, rows, kept, tail }: {
    outcome: Uint8Array;
    all: Float64Array;
    together: RowsTogether;
    rows: number[];
    kept: number;
    tail: number;
  },
): Omit<StandardizedUnit, "unit"> {
  const own = Float64Array.from(rows, (row) => all[row]!);
  const n = own.length;
  const observed = rows.reduce((sum, row) => sum + outcome[row]!, 0);
  const chancesAt = (shift: number) => own.map((logOdds) => chanceOf(logOdds + shift));
  const expected = sum(chancesAt(0));
  const countsAt = (shift: number) => trialCounts(chancesAt(shift));
  // n for the whole, so that a sum of chances becomes a probability that rises
  const estimate = observed === 0
    ? -Infinity
    : observed === n
    ? Infinity
    : invertTail((shift) => sum(chancesAt(shift)) / n, observed / n, "rising");
  const shifts = {
    estimate,
    lower: observed === 0
      ? -Infinity
      : invertTail((shift) => countsAt(shift).atLeast(observed), tail, "rising"),
    upper: observed === n
      ? Infinity
      : invertTail((shift) => countsAt(shift).atMost(observed), tail, "falling"),
  };
  const each = (value: (shift: number) => number): Limits => ({
    estimate: value(shifts.estimate),
    lower: value(shifts.lower),
    upper: value(shifts.upper),
  });
  const stretched = expected + (observed - expected) / Math.sqrt(kept);
  const lowerTail = countsAt(0).midBelow(stretched);
  return {
    n,
    observed,
    expected,
    ratio: each((shift) => sum(chancesAt(shift)) / expected),
    oddsRatio: each(Math.exp),
    rate: each((shift) => meanChance(together, shift)),
    pValue: Math.min(1, 2 * Math.min(lowerTail, 1 - lowerTail)),
  };
}

/**
 * Share of the variance of observed minus expected of some rows that is left after fitting the
 * model to all rows: 1 - C' I^-1 C / V, as in the score test of an indicator of those rows.
 */
function varianceKept(fitted: ExpectedRisks, rows: number[]): number {
  const { design, covariance, logOdds } = fitted;
  const q = design.length;
  const shared = new Float64Array(q);
  let variance = 0;
  for (const row of rows) {
    const p = chanceOf(logOdds[row]!);
    const v = p * (1 - p);
    variance += v;
    for (let j = 0; j < q; j++) shared[j]! += v * design[j]![row]!;
  }
  // a unit that is nearly the whole programme leaves nothing to compare it with
  return Math.max(1e-6, 1 - quadraticForm(shared, covariance) / variance);
}

function meanChance({ value, count }: RowsTogether, shift: number): number {
  let [total, rows] = [0, 0];
  for (let k = 0; k < value.length; k++) {
    total += count[k]! * chanceOf(value[k]! + shift);
    rows += count[k]!;
  }
  return total / rows;
}

function chanceOf(logOdds: number): number {
  return 1 / (1 + Math.exp(-logOdds));
}

function sum(values: Float64Array): number {
  return values.reduce((total, value) => total + value, 0);
}

function mean(values: Float64Array): number {
  return sum(values) / values.length;
}
