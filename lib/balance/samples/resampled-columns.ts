import type { Labels } from "../../numerics/mod.ts";
import { balancingWeights, type Estimand } from "../weigh/mod.ts";
import { type MatchOptions, matchPairs, setsOf } from "../match/mod.ts";
import { propensityScore } from "../score/mod.ts";
import { logisticRefit } from "../../regression/models/mod.ts";

/** A sample drawn again, matched again. Columns of one length, set by set. */
export interface RematchedSample {
  /** Rows of the analysis, with repetition. */
  rows: Int32Array;
  /** Number of the pair, one a row. */
  pairId: Int32Array;
  /** 1 = repair. */
  treated: Uint8Array;
  /** 1, or 1 / k for each of k controls of one set. */
  rowWeight: Float64Array;
}

/** The columns that a propensity score is fitted to, and those in which partners must agree. */
export interface ScoredColumns {
  /** 1 repair, 0 replacement, one a row. */
  treated: Uint8Array;
  /** What the score is worked out from, by name. */
  covariates: Record<string, Float64Array>;
  /** What partners must agree on. */
  alike?: Labels;
}

/**
 * Matching as a function of drawn rows: the propensity model is fitted and rows are matched anew.
 *
 * A row drawn twice counts as two, who may be matched to different partners.
 *
 * @throws {DataError} if a draw has only one of the groups.
 */
export function rematchColumns(
  data: ScoredColumns,
  options: MatchOptions,
): (rows: Int32Array) => RematchedSample {
  const score = scorer(data);
  const { alike } = data;
  return (rows) => {
    const { treated, linearPredictor } = score(rows);
    const { pairs } = matchPairs({
      treated,
      score: linearPredictor,
      ...(alike ? { alike: Array.from(rows, (row) => alike[row]!) } : {}),
    }, options);
    const { rows: drawn, pairId, treated: one, rowWeight } = setsOf(pairs);
    return { rows: drawn.map((i) => rows[i]!), pairId, treated: one, rowWeight };
  };
}

/**
 * Weighting as a function of drawn rows: the propensity model is fitted anew, and each drawn row
 * gets its weight.
 *
 * @param how.alone Fits each draw by itself, in place of from the fit to all: the same but for the
 * last digits.
 * @throws {DataError} if a draw has only one of the groups.
 */
export function reweightColumns(
  data: ScoredColumns,
  options: { estimand: Estimand; stabilized?: boolean; truncate?: [low: number, high: number] },
  { alone = false } = {},
): (rows: Int32Array) => Float64Array {
  const score = alone
    ? (rows: Int32Array) => {
      const treated = Uint8Array.from(rows, (row) => data.treated[row]!);
      return { treated, ...plainScore(data.covariates, { rows, treated }) };
    }
    : scorer(data);
  return (rows) => balancingWeights(score(rows), options);
}

// One for all completed sets, of which each draw uses one: as many as there are sets would
// be too much.
const buffers = new Map<string, Float64Array>();

/** The score of drawn rows, from the fit to all rows where that leads to it. */
function scorer({ treated: every, covariates }: ScoredColumns) {
  let known: ReturnType<typeof fitted> | undefined;
  const fitted = () => {
    const { score, linearPredictor, fit } = propensityScore({ treated: every, covariates });
    return { score, linearPredictor, refit: logisticRefit({ outcome: every, covariates }, fit) };
  };
  return (rows: Int32Array) => {
    const treated = Uint8Array.from(rows, (row) => every[row]!);
    // of few of the rows a model of its own is soonest fitted
    if (rows.length < every.length / 2) {
      return { treated, ...plainScore(covariates, { rows, treated }) };
    }
    const { score, linearPredictor, refit } = known ??= fitted();
    const isWhole = rows.length === every.length && rows.every((row, k) => row === k);
    if (isWhole) return { treated, score, linearPredictor };
    const times = new Float64Array(every.length);
    for (let k = 0; k < rows.length; k++) times[rows[k]!]!++;
    const predicted = refit(times);
    if (!predicted) return { treated, ...plainScore(covariates, { rows, treated }) };
    const logit = Float64Array.from(rows, (row) => predicted[row]!);
    return { treated, score: logit.map(probabilityOf), linearPredictor: logit };
  };
}

/** A model of the drawn rows alone. The score's columns are written over by the next draw. */
function plainScore(
  columns: ScoredColumns["covariates"],
  { rows, treated }: { rows: Int32Array; treated: Uint8Array },
) {
  const covariates: Record<string, Float64Array> = {};
  for (const [name, column] of Object.entries(columns)) {
    let values = buffers.get(name);
    if (values?.length !== rows.length) {
      values = new Float64Array(rows.length);
      buffers.set(name, values);
    }
    for (let i = 0; i < rows.length; i++) values[i] = column[rows[i]!]!;
    covariates[name] = values;
  }
  const { score, linearPredictor } = propensityScore({ treated, covariates });
  return { score, linearPredictor };
}

function probabilityOf(logit: number): number {
  if (logit >= 0) return 1 / (1 + Math.exp(-logit));
  const odds = Math.exp(logit);
  return odds / (1 + odds);
}
