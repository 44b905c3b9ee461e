import type { Analysis } from "../../cohort/model/mod.ts";
import {
  type Contrast,
  poolContrasts,
  type PooledContrast,
  type PoolOptions,
} from "../pool/mod.ts";
import type { CompletedSets } from "./completed-sets.ts";

/**
 * An estimate made within each completed set and pooled; of one set alone, as it is.
 *
 * Put everything that uses covariates into `estimate`: the score is to be fitted, and patients
 * weighted or matched, anew in each set. Averaging scores over sets instead is not the same, and is
 * biased.
 *
 * @example
 * ```ts ignore
 * import { acrossSets, followUpOf, openAnalysis, survivalDifference, underWeights, weightedSample } from "mitral";
 * const { study } = await openAnalysis();
 * acrossSets(completed, (set) => {
 *   const { weight } = weightedSample(set, study);
 *   return survivalDifference(underWeights(followUpOf(set, "death"), weight), { times: [1, 5] });
 * });
 * ```
 * @see Leyrat and others (2019) Stat Methods Med Res 28:3-19; Nguyen & Stuart (2023).
 */
export function acrossSets<C extends Contrast>(
  completed: CompletedSets,
  estimate: (analysis: Analysis, set: number) => readonly C[],
  options: PoolOptions = {},
): (C | PooledContrast<C>)[] {
  const results = Array.from(
    { length: completed.sets },
    (_, k) => estimate(completed.analysis(k), k),
  );
  if (results.length === 1) return [...results[0]!];
  return poolContrasts(results, { units: completed.analysis(0).n, ...options });
}
