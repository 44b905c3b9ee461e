import { followUpOf } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { type DesignedFollowUp, underWeights, weightedSample } from "../../balance/samples/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { EndpointId } from "../../study/plan/mod.ts";
import type { Contrast, PooledContrast, PoolOptions } from "../pool/mod.ts";
import {
  type CompletedSets,
  completedSets,
  type MissingMethod,
  withCompletions,
} from "./completed-sets.ts";
import { pooledContrasts } from "./pooled-estimates.ts";

/** A weighted comparison under one treatment of missing values. */
export interface MethodContrasts<C extends Contrast> {
  /** How missing values were treated. */
  method: MissingMethod;
  /** Both groups and their difference, one a time. */
  contrasts: (C | PooledContrast<C>)[];
}

/**
 * The same weighted comparison of an endpoint under each treatment of missing values: imputed, mean
 * and mark, complete patients only. Weights are made anew under each, and in each imputed set.
 *
 * @param completed The sets of the method they were made by, which are not made again.
 * @throws {DataError} as `completedSets` and the estimate do.
 */
export async function contrastsByMethod<C extends Contrast>(
  completed: CompletedSets,
  { analysis, study, endpoint, ...options }: PoolOptions & {
    analysis: Analysis;
    study: Study;
    endpoint: EndpointId;
  },
  estimate: (data: DesignedFollowUp) => readonly C[],
): Promise<MethodContrasts<C>[]> {
  const found: MethodContrasts<C>[] = [];
  for (const method of ["impute", "mean-and-mark", "complete"] as const) {
    const sets = method === completed.method
      ? completed
      : await completedSets(analysis, study, { method });
    const taken = withCompletions(analysis, sets);
    const data = underWeights(followUpOf(taken, endpoint), weightedSample(taken, study));
    found.push({ method, contrasts: pooledContrasts(data, estimate, options) });
  }
  return found;
}
