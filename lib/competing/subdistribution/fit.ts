import type { FollowUp, Labels, Numbers, Test } from "../../numerics/mod.ts";
import type {
  BaselineHazard,
  Concordance,
  CoxTerm,
  PredictedSurvival,
} from "../../survival/cox/mod.ts";
import type { CensoringRiskSet } from "./design.ts";

/** What a subdistribution regression is fitted to. */
export interface SubdistributionData extends FollowUp {
  /** Not allowed: rows must be under observation from time 0. */
  entry?: Numbers;
  /** Named covariates, one value a row, finite. */
  covariates: Record<string, Numbers>;
  /** Rows of one cluster (matched pair, surgeon) may depend on each other. */
  cluster?: Labels;
  /** Groups with a distribution of censoring of their own (default: one for all). */
  censoringGroup?: Labels;
}

/** How {@link subdistributionRegression} is done. */
export interface SubdistributionOptions {
  /** The event modelled. */
  cause: number;
  /** Tied events of the cause. Default "breslow". */
  ties?: "breslow" | "efron";
  /** Level of the limits, default 0.95. */
  confidence?: number;
  /** Who is at risk of censoring at a tied time. Default "everyone". */
  censoringRiskSet?: CensoringRiskSet;
  /** Whether the robust variance allows for the censoring weights' estimation (default) or not. */
  censoringWeights?: "estimated" | "known";
  /** Default 30. */
  maxIterations?: number;
}

/** Predicted cumulative incidence at the times asked for. */
export interface PredictedIncidence {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Probability of having had the event by each time, 0 to 1. */
  incidence: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/** A fitted subdistribution regression; hazard ratios are of the subdistribution. */
export interface SubdistributionFit {
  /** Rows. */
  n: number;
  /** Code of the event: 1, 2, ... */
  cause: number;
  /** Rows with an event of the cause, and with another (not weighted). */
  events: number;
  /** Rows with another event first. */
  competingEvents: number;
  /** Steps that the search took. */
  iterations: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
  /** How tied times were treated. */
  ties: "breslow" | "efron";
  /** Limits, z and p value use the robust standard error. */
  terms: (CoxTerm & { robustStandardError: number })[];
  /** Covariates that are constant, or combinations of earlier ones. */
  dropped: string[];
  /** Covariates whose ratio runs off to 0 or infinity. */
  separated: string[];
  /** Inverse information, p x p row-major; NaN in rows and columns of dropped covariates. */
  covariance: Float64Array;
  /** Sandwich, clustered where clusters were given. */
  robustCovariance: Float64Array;
  /** Covariate means (weighted), where `linearPredictor` and `baselineHazard` are centred. */
  means: Record<string, number>;
  /** At the estimate. */
  logLikelihood: number;
  /** Without covariates. */
  logLikelihoodNull: number;
  /** From the likelihood, which is not a full one here: a guide. Prefer `wald`. */
  likelihoodRatio: Test;
  /** Robust. */
  wald: Test;
  /** Score test that all coefficients are 0. */
  score: Test;
  /** Concordance with those who had a competing event ranked as never having the event. */
  readonly concordance: Concordance;
  /** Length n, in the order of the rows given, centred at covariate means. */
  linearPredictor: Float64Array;
  /** Cumulative subdistribution hazard at covariate means, a row a distinct event time. */
  baselineHazard(): BaselineHazard;
  /**
   * Cumulative incidence of someone with these covariates, 1 - exp(-H0(t) exp(x'b)). The standard
   * error is the jackknife's, through H0, b and the censoring weights; limits are formed on the log
   * of the cumulative hazard. NaN past the last observed time.
   */
  incidenceFor(
    covariates: Record<string, number>,
    times: Numbers,
    options?: { confidence?: number },
  ): PredictedIncidence;
  /** 1 - `incidenceFor`: the probability of not having had the event, alive or not. */
  survivalFor(
    covariates: Record<string, number>,
    times: Numbers,
    options?: { confidence?: number },
  ): PredictedSurvival;
}
