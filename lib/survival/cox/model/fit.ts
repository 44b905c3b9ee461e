import type { FollowUp, Labels, Numbers, Test } from "../../../numerics/mod.ts";
import type { BaselineHazard, PredictedSurvival } from "./baseline.ts";
import type { Concordance } from "./concordance.ts";

/** What a Cox regression is fitted to. */
export interface CoxData extends FollowUp {
  /** Named covariates, one value a row, finite. */
  covariates: Record<string, Numbers>;
  /** Each stratum has a baseline hazard of its own. */
  stratum?: Labels;
  /** Rows of one cluster (patient, matched pair, surgeon) may depend on each other. */
  cluster?: Labels;
}

/** How tied event times are treated. */
export type TieRule = "efron" | "breslow" | "exact";

/** How {@link coxRegression} is done. */
export interface CoxOptions {
  /** Default "efron". "exact" is the discrete conditional likelihood. */
  ties?: TieRule;
  /** Level of the limits, default 0.95. */
  confidence?: number;
  /**
   * "jeffreys" maximises log likelihood + half the log determinant of the information (Firth),
   * which is finite where a covariate separates. Default "none".
   */
  penalty?: "none" | "jeffreys";
  /** Default 30 (200 with a penalty). */
  maxIterations?: number;
}

/** One covariate's estimate. */
export interface CoxTerm {
  /** Name as the data have it. */
  name: string;
  /** Log hazard ratio per unit; NaN where the covariate is in `dropped`. */
  coefficient: number;
  /** From the inverse information; Infinity where no information was left (separation). */
  standardError: number;
  /** Present when weights or clusters were given. */
  robustStandardError?: number;
  /** exp(coefficient). */
  hazardRatio: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Coefficient over its standard error. */
  z: number;
  /** Two-sided p value. */
  pValue: number;
}

/** A fitted Cox model. */
export interface CoxFit {
  /** Rows. */
  n: number;
  /** Rows with an event (not weighted). */
  events: number;
  /** Steps that the search took. */
  iterations: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
  /** How tied times were treated. */
  ties: TieRule;
  /** Whether the likelihood was penalised. */
  penalty: "none" | "jeffreys";
  /** One a covariate, in the order given. */
  terms: CoxTerm[];
  /** Covariates that are constant, or combinations of earlier ones, among those at risk. */
  dropped: string[];
  /** Covariates whose hazard ratio runs off to 0 or infinity (monotone likelihood). */
  separated: string[];
  /** Model-based, p x p row-major; NaN in rows and columns of dropped covariates. */
  covariance: Float64Array;
  /** Sandwich, clustered where clusters were given. */
  robustCovariance?: Float64Array;
  /** Covariate means (weighted), where `linearPredictor` and `baselineHazard` are centred. */
  means: Record<string, number>;
  /** Penalised where a penalty was asked for, as is the null one. */
  logLikelihood: number;
  /** Without covariates. */
  logLikelihoodNull: number;
  /** As under independent rows that count once: with weights or clusters no p value (NaN). */
  likelihoodRatio: Test & { reason?: string };
  /** Uses the robust covariance where there is one. */
  wald: Test;
  /** As `likelihoodRatio`; with weights or clusters there is `robustScore`. */
  score: Test & { reason?: string };
  /** Wald test from the inverse information alone, where `wald` is robust. */
  modelWald?: Test;
  /** Score test with the sandwich variance at 0; computed when first read. */
  readonly robustScore?: Test;
  /** Harrell's concordance; computed when first read, O(n log n). */
  readonly concordance: Concordance;
  /** Length n, in the order of the rows given. */
  linearPredictor: Float64Array;
  /** Cumulative hazard at the covariate means, one row per distinct observed time and stratum. */
  baselineHazard(): BaselineHazard;
  /**
   * Survival of someone with these covariates: exp(-H0(t) exp(x'b)), with limits exp(log S +/- z
   * se) that allow for the estimation of both H0 and b; NaN past the last observed time. Where
   * there is a robust covariance it serves for b; the variance of H0's increments is the model's.
   * Tsiatis (1981) Ann Stat 9:93-108; Link (1984) Biometrics 40:601-610.
   *
   * @param options.stratum Needed where the fit has strata.
   */
  survivalFor(
    covariates: Record<string, number>,
    times: Numbers,
    options?: { stratum?: string | number; confidence?: number },
  ): PredictedSurvival;
}
