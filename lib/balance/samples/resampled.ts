import type { Analysis } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { Estimand } from "../weigh/mod.ts";
import { designMatrix } from "../score/mod.ts";
import { alikeLabels } from "./matched-sample.ts";
import {
  rematchColumns,
  type RematchedSample,
  reweightColumns,
  type ScoredColumns,
} from "./resampled-columns.ts";

/**
 * The study's matching as a function of drawn rows, for a bootstrap over the whole procedure: the
 * propensity model is fitted and the patients are matched anew in each replicate. The design
 * (knots, means that missing values take) is that of the analysis.
 *
 * A patient drawn twice counts as two, who may be matched to different partners.
 *
 * @example
 * ```ts ignore
 * import { bootstrap, openAnalysis, rematcher } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const difference = ({ data }: Rematched) => data.time.length;
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
  const { alike: _, ...planned } = study.matching;
  return rematchColumns(scoredColumns(analysis, study), planned);
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
  return reweightColumns(
    scoredColumns(analysis, study),
    plannedWeights(study, options.estimand),
  );
}

/**
 * The covariates of each completed set, as {@link scoredColumns} has them. A column that is the
 * same in a set as in the first is the first's own: it is held, and sent to a worker, once.
 */
export function scoredColumnsOf(sets: readonly Analysis[], study: Study): ScoredColumns[] {
  const found: ScoredColumns[] = [];
  for (const set of sets) {
    const own = scoredColumns(set, study);
    const first = found[0]?.covariates ?? {};
    for (const [name, column] of Object.entries(own.covariates)) {
      const known = first[name];
      if (known && isSame(known, column)) own.covariates[name] = known;
    }
    found.push(own);
  }
  return found;
}

function isSame(one: Float64Array, other: Float64Array): boolean {
  for (let i = 0; i < one.length; i++) if (one[i] !== other[i]) return false;
  return one.length === other.length;
}

/**
 * The study's covariates, and the columns in which partners agree, as plain columns, which can be
 * sent to a worker.
 */
export function scoredColumns(analysis: Analysis, study: Study): ScoredColumns {
  const { alike } = study.matching;
  return {
    treated: analysis.treated,
    covariates: designMatrix(analysis, study).covariates,
    ...(alike.length > 0 ? { alike: alikeLabels(analysis, alike) } : {}),
  };
}

/** How the study weighs, as options of `balancingWeights`. */
export function plannedWeights(study: Study, estimand: Estimand = study.estimand): {
  estimand: Estimand;
  stabilized: boolean;
  truncate?: [low: number, high: number];
} {
  const { stabilized, truncate } = study.weights;
  return {
    estimand,
    stabilized,
    ...(truncate ? { truncate: [truncate[0], truncate[1]] } : {}),
  };
}
