import type { Analysis } from "../cohort/mod.ts";
import type { Study } from "../study/mod.ts";
import { balancingWeights, type Estimand } from "./balancing-weights.ts";
import { designMatrix } from "./design-matrix.ts";
import { exactLabels } from "./matched-sample.ts";
import { matchPairs } from "./match-pairs.ts";
import { propensityScore } from "./propensity.ts";

/** A sample drawn again, matched again. Columns of one length, set by set. */
export interface RematchedSample {
  /** Rows of the analysis, with repetition. */
  rows: Int32Array;
  pairId: Int32Array;
  /** 1 = repair. */
  treated: Uint8Array;
}

/**
 * The study's matching as a function of drawn rows, for a bootstrap over the whole procedure: the
 * propensity model is fitted and the patients are matched anew in each replicate. The design
 * (knots, means that missing values take) is that of the analysis.
 *
 * A patient drawn twice counts as two, who may be matched to different partners.
 *
 * @example
 * ```ts
 * const rematch = rematcher(analysis, study);
 * const statistic = (rows: Int32Array) => difference(rematch(rows));
 * bootstrap(analysis.n, statistic, { seed: study.seed });
 * ```
 * @throws {DataError} if a draw has only one of the groups.
 */
export function rematcher(
  analysis: Analysis,
  study: Study,
): (rows: Int32Array) => RematchedSample {
  const score = scorer(analysis, study);
  const { caliper, ratio, order, replacement, exact } = study.matching;
  const labels = exact.length > 0 ? exactLabels(analysis, exact) : undefined;
  return (rows) => {
    const { treated, linearPredictor } = score(rows);
    const { pairs } = matchPairs({
      treated,
      distance: linearPredictor,
      ...(labels ? { exact: Array.from(rows, (row) => labels[row]!) } : {}),
    }, { caliper, ratio, order, replacement });
    const sets = new Map<number, number>();
    const drawn: number[] = [];
    const pairId: number[] = [];
    for (const [repair, other] of pairs) {
      let set = sets.get(repair);
      if (set === undefined) {
        sets.set(repair, set = sets.size);
        drawn.push(repair);
        pairId.push(set);
      }
      drawn.push(other);
      pairId.push(set);
    }
    return {
      rows: Int32Array.from(drawn, (i) => rows[i]!),
      pairId: Int32Array.from(pairId),
      treated: Uint8Array.from(drawn, (i) => treated[i]!),
    };
  };
}

/**
 * The study's weighting as a function of drawn rows: the propensity model is fitted anew, and each
 * drawn row gets its weight.
 *
 * @throws {DataError} if a draw has only one of the groups.
 */
export function reweighter(
  analysis: Analysis,
  study: Study,
  options: { estimand?: Estimand } = {},
): (rows: Int32Array) => Float64Array {
  const score = scorer(analysis, study);
  const estimand = options.estimand ?? study.estimand;
  const { stabilized, truncate } = study.weights;
  return (rows) =>
    balancingWeights(score(rows), {
      estimand,
      stabilized,
      ...(truncate ? { truncate: [truncate[0], truncate[1]] } : {}),
    });
}

function scorer(analysis: Analysis, study: Study) {
  const design = designMatrix(analysis, study);
  const columns = Object.entries(design.covariates);
  return (rows: Int32Array) => {
    const treated = Uint8Array.from(rows, (row) => analysis.treated[row]!);
    const covariates = Object.fromEntries(
      columns.map(([name, column]) => [name, Float64Array.from(rows, (row) => column[row]!)]),
    );
    const { score, linearPredictor } = propensityScore({ treated, covariates });
    return { treated, score, linearPredictor };
  };
}
