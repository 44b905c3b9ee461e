import {
  checkChoice,
  checkConfidence,
  checkDataColumns,
  checkWhole,
  chiSquareResult,
  covariateColumns,
  DataError,
  factorSymmetric,
  FOLLOW_UP,
  followUpColumns,
  groupColumn,
  invertFactored,
  type Test,
} from "../../../numerics/mod.ts";
import { type Concordance, concordanceOf } from "./concordance.ts";
import { baselineHazardOf, survivalOf } from "./baseline.ts";
import { clustersAt, coxDesign, keepCovariates } from "../rows/mod.ts";
import {
  exactLikelihood,
  inverseForm,
  maximise,
  maximisePenalised,
  type Maximum,
  partialLikelihood,
  type PenalisedMaximum,
  scoreStatistic,
  withoutDependent,
} from "../likelihood/mod.ts";
import type { CoxData, CoxFit, CoxOptions } from "./fit.ts";
import { hazardTable } from "./influence.ts";
import { clusteredScores, sandwich } from "./robust.ts";
import { columnMeans, linearPredictor, reasonOf, termsOf, unscaled } from "./summary.ts";
import { type CoxState, rememberState, tableOf } from "./state.ts";

/**
 * Cox proportional-hazards regression.
 *
 * Estimates b in hazard(t | x) = h0(t) exp(x'b), with h0 left free (one per stratum), by maximum
 * partial likelihood. Rows are at risk on (entry, time]; a patient with changing covariates has
 * several rows. Units: coefficients per unit of the covariate; any one unit of time, the result
 * does not depend on it.
 *
 * Ties: "efron" (default) averages over the removal of tied deaths, "breslow" does not remove them,
 * "exact" is the discrete conditional likelihood and takes neither weights nor clusters. Deaths
 * precede censorings at the same time. Weights multiply a row's terms (Efron: tied deaths share
 * their mean weight).
 *
 * Variance: inverse information; with `weight` or `cluster` also the sandwich of score residuals
 * summed within clusters, which then serves limits, z, p values and the Wald test.
 *
 * Edges: a covariate that is constant, or fixed by earlier ones, among those at risk is named in
 * `dropped`, its coefficient NaN. One along which the likelihood keeps rising is named in
 * `separated` and `converged` is false with the reason: its hazard ratio is then only the last
 * iterate; use `penalty: "jeffreys"`.
 *
 * Cost: one sort, then O(n p^2) an iteration; "exact" O(n D p^2), D the most deaths at one time.
 * Memory: one copy of the covariates, kept with the fit for what is computed from it later (as are
 * the columns given, which must not be written to meanwhile).
 *
 * @example The rule for ties, on six subjects
 * ```ts
 * import { coxRegression } from "mitral";
 * const fit = coxRegression(
 *   { time: [1, 1, 6, 6, 8, 9], event: [1, 0, 1, 1, 0, 1], covariates: { x: [1, 1, 1, 0, 0, 0] } },
 *   { ties: "breslow" },
 * );
 * console.assert(Math.abs(fit.terms[0].hazardRatio - (3 + Math.sqrt(33)) / 2) < 1e-8);
 * ```
 * @throws {DataError} For bad columns, and when no row has an event.
 * @see Cox (1972) JRSS B 34:187-220; Efron (1977) JASA 72:557-565; Breslow (1974) Biometrics
 * 30:89-99; Lin & Wei (1989) JASA 84:1074-1078.
 */
export function coxRegression(data: CoxData, options: CoxOptions = {}): CoxFit {
  checkDataColumns("coxRegression", data, [...FOLLOW_UP, "covariates", "stratum", "cluster"]);
  const ties = checkChoice("ties", options.ties ?? "efron", ["efron", "breslow", "exact"]);
  const penalty = checkChoice("penalty", options.penalty ?? "none", ["none", "jeffreys"]);
  const confidence = checkConfidence(options.confidence);
  const follow = followUpColumns(data);
  const { n } = follow;
  const { names, columns } = covariateColumns(data.covariates, n);
  const stratum = data.stratum && groupColumn("stratum", data.stratum, n);
  const labels = data.cluster && groupColumn("cluster", data.cluster, n);
  if (ties === "exact") refuseWithExact(data, penalty);
  const maxIterations = checkWhole(
    "maxIterations",
    options.maxIterations ?? (penalty === "none" ? 30 : 200),
    1,
  );

  const full = coxDesign(follow, columns, stratum);
  const efron = ties === "efron";
  const { design, kept, evaluate, start } = withoutDependent(
    full,
    ties === "exact" ? exactLikelihood : (design) => partialLikelihood(design, efron),
    keepCovariates,
  );
  const penalised = penalty === "jeffreys"
    ? maximisePenalised(design, evaluate, { efron, confidence, maxIterations })
    : undefined;
  const maximum = penalised ??
    maximise(evaluate, start, { range: design.range, maxIterations });
  const covariance = invertFactored(maximum.factor);
  const cluster = clustersAt(design.rowAt, labels);
  const state: CoxState = {
    follow,
    design,
    beta: maximum.beta,
    covariance,
    robust: undefined,
    ties,
    efron,
    penalty,
    confidence,
    names,
    kept,
    means: columnMeans(columns, follow.weight),
    stratum,
    cluster,
  };
  const isRobust = cluster !== undefined || follow.weight !== undefined;
  if (isRobust) {
    const { products } = clusteredScores(design, tableOf(state), cluster);
    state.robust = sandwich(covariance, products, design.p);
  }
  const fit = assemble(state, columns, maximum, {
    logLikelihood: penalised?.logLikelihoodNull ?? start.logLikelihood,
    score: penalised?.scoreStatistic ??
      scoreStatistic(start, factorSymmetric(start.information, design.p)),
  });
  if (penalised && !isRobust) useProfile(fit, state, penalised);
  rememberState(fit, state);
  return fit;
}

function assemble(
  state: CoxState,
  columns: Float64Array[],
  maximum: Maximum,
  atZero: { logLikelihood: number; score: number },
): CoxFit {
  const { design, names, kept, means, follow, covariance, robust } = state;
  const { p } = design;
  const { logLikelihood } = maximum.at;
  const fit = {
    n: follow.n,
    events: design.groupDeaths.reduce((sum, deaths) => sum + deaths, 0),
    iterations: maximum.iterations,
    converged: maximum.converged,
    ties: state.ties,
    penalty: state.penalty,
    terms: termsOf(state, maximum),
    dropped: names.filter((_, j) => !kept.includes(j)),
    separated: maximum.separated.map((j) => names[kept[j]!]!),
    covariance: unscaled(state, covariance),
    means: Object.fromEntries(names.map((name, j) => [name, means[j]!])),
    logLikelihood,
    logLikelihoodNull: atZero.logLikelihood,
    likelihoodRatio: chiSquareResult(Math.max(0, 2 * (logLikelihood - atZero.logLikelihood)), p),
    wald: chiSquareResult(inverseForm(robust ?? covariance, maximum.beta), p),
    score: chiSquareResult(atZero.score, p),
    linearPredictor: linearPredictor(state, columns),
    baselineHazard: () => baselineHazardOf(state),
    survivalFor: (...call: Parameters<CoxFit["survivalFor"]>) => survivalOf(state, ...call),
  } as CoxFit;
  if (!maximum.converged) {
    fit.reason = reasonOf(maximum, fit.separated, 'penalty: "jeffreys" gives a finite estimate');
  }
  if (robust) {
    const reason = "rows are weighted or clustered: see wald and robustScore, which allow for it";
    fit.likelihoodRatio = { ...fit.likelihoodRatio, pValue: NaN, reason };
    fit.score = { ...fit.score, pValue: NaN, reason };
    fit.robustCovariance = unscaled(state, robust);
    fit.modelWald = chiSquareResult(inverseForm(covariance, maximum.beta), p);
    lazily(fit, "robustScore", () => robustScoreTest(state));
  }
  lazily(fit, "concordance", (): Concordance => {
    // From the layout, not from `linearPredictor`, which is the caller's by now. The two differ by
    // a constant within a stratum.
    const { n, x } = design;
    const score = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < p; j++) score[i]! += state.beta[j]! * x[i * p + j]!;
    }
    return concordanceOf(design, score, state.cluster);
  });
  return fit;
}

/** Limits and p values from the profile of the penalised likelihood. */
function useProfile(fit: CoxFit, state: CoxState, { profile }: PenalisedMaximum): void {
  state.kept.forEach((column, j) => {
    const term = fit.terms[column]!;
    const unit = state.design.scale[j]!;
    term.lower = Math.exp(profile[j]!.lower / unit);
    term.upper = Math.exp(profile[j]!.upper / unit);
    term.pValue = profile[j]!.pValue;
  });
}

function robustScoreTest(state: CoxState): Test {
  const { design, efron, cluster } = state;
  const atZero = hazardTable(design, new Float64Array(design.p), efron);
  const { products, total } = clusteredScores(design, atZero, cluster);
  return chiSquareResult(inverseForm(products, total), design.p);
}

/** Defines a property that is computed once, when first read. */
function lazily<T>(target: object, key: string, compute: () => T): void {
  let value: T | undefined;
  Object.defineProperty(target, key, {
    enumerable: true,
    configurable: true,
    get: () => value ??= compute(),
  });
}

function refuseWithExact(data: CoxData, penalty: string): void {
  if (penalty !== "none") {
    throw new DataError("penalty", '"none" with ties "exact"', penalty);
  }
  if (data.weight) {
    throw new DataError("weight", 'absent with ties "exact" (its terms are sets)', data.weight);
  }
  if (data.cluster) {
    throw new DataError("cluster", 'absent with ties "exact" (its terms are sets)', data.cluster);
  }
}
