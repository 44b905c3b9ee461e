import { DataError, type FollowUpColumns, type GroupColumn } from "../../../numerics/mod.ts";
import type { ClusterCodes, CoxDesign } from "../rows/mod.ts";
import type { TieRule } from "./fit.ts";
import { type HazardTable, hazardTable } from "./influence.ts";

/** What a fit keeps for residuals, predictions and tests made from it later. */
export interface CoxState {
  follow: FollowUpColumns;
  /** Layout of the covariates that were estimated. */
  design: CoxDesign;
  /** Estimates for the scaled covariates. */
  beta: Float64Array;
  /** Model-based covariance of `beta`. */
  covariance: Float64Array;
  /** Robust covariance of `beta`, where clusters or weights were given. */
  robust: Float64Array | undefined;
  ties: TieRule;
  /** Efron's terms; false for Breslow, and for the increments after an exact fit. */
  efron: boolean;
  penalty: "none" | "jeffreys";
  confidence: number;
  /** All covariate names, in the caller's order. */
  names: string[];
  /** Indices into `names` of the covariates in `design`. */
  kept: number[];
  means: Float64Array;
  stratum: GroupColumn | undefined;
  /** Cluster code by place. */
  cluster: ClusterCodes | undefined;
  /** Hazard increments at the estimate, once they have been asked for. */
  table?: HazardTable;
}

// Kept outside the result, so that printing or comparing fits never touches rows of patients.
const states = new WeakMap<object, CoxState>();

/** Ties a fit to what it was made from. */
export function rememberState(fit: object, state: CoxState): void {
  states.set(fit, state);
}

/** What the fit was made from. @throws {DataError} for anything but a fit of `coxRegression`. */
export function stateOf(fit: object): CoxState {
  const state = typeof fit === "object" && fit !== null ? states.get(fit) : undefined;
  if (!state) throw new DataError("fit", "the very object that coxRegression returned", fit);
  return state;
}

/** Hazard increments at the estimate; computed once. */
export function tableOf(state: CoxState): HazardTable {
  return state.table ??= hazardTable(state.design, state.beta, state.efron);
}
