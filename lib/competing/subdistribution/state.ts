import { DataError, type FollowUpColumns } from "../../numerics/mod.ts";
import type { ClusterCodes } from "../../survival/cox/mod.ts";
import type { SubdistributionDesign } from "./design.ts";
import type { WeightedRiskSets } from "./likelihood.ts";

/** What a fit keeps for predictions and tests made from it later. */
export interface SubdistributionState {
  cause: number;
  follow: FollowUpColumns;
  columns: Float64Array[];
  /** All covariate names, in the caller's order. */
  names: string[];
  /** Indices into `names` of the covariates in `design`. */
  kept: number[];
  design: SubdistributionDesign;
  efron: boolean;
  /** Estimates for the scaled covariates, their model-based and robust covariances. */
  beta: Float64Array;
  covariance: Float64Array;
  robust: Float64Array;
  /** Contributions to the score at the estimate, n x p by place. */
  scores: Float64Array;
  /** Risk sets at the estimate. */
  sets: WeightedRiskSets;
  cluster: ClusterCodes | undefined;
  estimatedWeights: boolean;
  confidence: number;
  means: Float64Array;
  /** Last observed time. */
  last: number;
}

// Kept outside the result, so that printing or comparing fits never touches rows of patients.
const states = new WeakMap<object, SubdistributionState>();

/** Ties a fit to what it was made from. */
export function rememberState(fit: object, state: SubdistributionState): void {
  states.set(fit, state);
}

/** What the fit was made from. @throws {DataError} for any other object. */
export function stateOf(fit: object): SubdistributionState {
  const state = typeof fit === "object" && fit !== null ? states.get(fit) : undefined;
  if (!state) {
    throw new DataError("fit", "the very object that subdistributionRegression returned", fit);
  }
  return state;
}
