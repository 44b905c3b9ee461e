import {
  checkChoice,
  checkConfidence,
  checkDataColumns,
  checkNumber,
  checkWhole,
  chiSquareResult,
  covariateColumns,
  DataError,
  factorSymmetric,
  FOLLOW_UP,
  followUpColumns,
  groupColumn,
  invertFactored,
} from "../../numerics/mod.ts";
import {
  clustersAt,
  columnMeans,
  inverseForm,
  linearPredictor,
  maximise,
  type Maximum,
  reasonOf,
  sandwich,
  scoreStatistic,
  termsOf,
  unscaled,
  withoutDependent,
} from "../../survival/cox/mod.ts";
import { subdistributionDesign, withCovariates } from "./design.ts";
import type { SubdistributionData, SubdistributionFit, SubdistributionOptions } from "./fit.ts";
import { concordanceWithNever } from "./concordance.ts";
import { scoreContributions } from "./influence.ts";
import { subdistributionLikelihood, walkWeightedRiskSets, weightedRiskSets } from "./likelihood.ts";
import { baselineHazardOf, incidenceOf } from "./prediction.ts";
import { crossProducts } from "./robust.ts";
import { rememberState, type SubdistributionState } from "./state.ts";

/**
 * Regression on the cumulative incidence of one cause with others competing (Fine and Gray).
 *
 * Estimates b in 1 - F(t | x) = exp(-H0(t) exp(x'b)): exp(b) is the ratio of subdistribution
 * hazards, and its sign is the direction in which a covariate moves the cumulative incidence. It is
 * for describing and predicting who will have the event; how a covariate acts on its rate is for
 * `coxRegression(causeSpecific(data, cause))`, and the two can point in opposite directions.
 *
 * Those with a competing event at T stay in the risk set with weight G(t-) / G(T-), G the
 * Kaplan-Meier estimate of being uncensored, pooled or by `censoringGroup`. Nothing is expanded:
 * the sums over all risk sets take one pass backwards and one forwards.
 *
 * Tie rules: events of the cause, "breslow" (default) or "efron". A censoring at the time of an
 * event counts as after it in G(t-); whether those with an event are at risk of it is
 * `censoringRiskSet`, "everyone" (default) or "without-events".
 *
 * Variance: `standardError` from the inverse information, which takes the weights as known and the
 * pseudo-rows as independent; `robustStandardError` from each row's influence, including through G
 * unless `censoringWeights` is "known", summed within clusters. Limits, z, p values and the Wald
 * test use the robust one. Case weights multiply a row's terms, in G too, and are taken as known.
 *
 * Without competing events it is the Cox model. Separation and collinearity are reported as there.
 * Delayed entry is refused: the weights would need the distribution of entry as well.
 * Cost: one sort, then O(n p^2) an iteration. Memory: two n x p arrays.
 *
 * @example
 * ```ts
 * import { subdistributionRegression } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 2, 1, 0, 1, 0, 2, 0, 1, 0, 0];
 * const age = [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60];
 * const fit = subdistributionRegression({ time, event, covariates: { age } }, { cause: 1 });
 * fit.incidenceFor({ age: 70 }, [1, 5]).incidence;
 * ```
 * @throws {DataError} for bad columns, delayed entry, and when no row has the event.
 * @see Fine and Gray (1999) JASA 94:496-509. Zhou et al. (2012) Biostatistics 13:371-383, clusters.
 */
export function subdistributionRegression(
  data: SubdistributionData,
  options: SubdistributionOptions,
): SubdistributionFit {
  checkDataColumns("subdistributionRegression", data, [
    ...FOLLOW_UP,
    "covariates",
    "cluster",
    "censoringGroup",
  ]);
  const cause = checkNumber(
    "cause",
    options.cause,
    (c) => Number.isInteger(c) && c > 0,
    "1, 2, ...",
  );
  const ties = checkChoice("ties", options.ties ?? "breslow", ["breslow", "efron"]);
  const riskSet = checkChoice("censoringRiskSet", options.censoringRiskSet ?? "everyone", [
    "everyone",
    "without-events",
  ]);
  const weights = checkChoice("censoringWeights", options.censoringWeights ?? "estimated", [
    "estimated",
    "known",
  ]);
  const confidence = checkConfidence(options.confidence);
  const maxIterations = checkWhole("maxIterations", options.maxIterations ?? 30, 1);
  if (data.entry !== undefined) {
    throw new DataError(
      "entry",
      "left out: delayed entry is not covered by this model",
      data.entry,
    );
  }
  const follow = followUpColumns(data, { causes: true });
  const { n } = follow;
  const { names, columns } = covariateColumns(data.covariates, n);
  const labels = data.cluster && groupColumn("cluster", data.cluster, n);
  const censoringGroup = data.censoringGroup &&
    groupColumn("censoringGroup", data.censoringGroup, n);

  const full = subdistributionDesign(follow, columns, cause, censoringGroup, riskSet);
  const efron = ties === "efron";
  const { design, kept, evaluate, start } = withoutDependent(
    full,
    (design) => subdistributionLikelihood(design, efron),
    withCovariates,
  );
  const maximum = maximise(evaluate, start, { range: design.range, maxIterations });
  const covariance = invertFactored(maximum.factor);
  const sets = weightedRiskSets(design);
  walkWeightedRiskSets(design, maximum.beta, efron, sets);
  const scores = scoreContributions(design, sets, weights === "estimated");
  const cluster = clustersAt(design.rowAt, labels);
  const state: SubdistributionState = {
    cause,
    follow,
    columns,
    names,
    kept,
    design,
    efron,
    beta: maximum.beta,
    covariance,
    robust: sandwich(covariance, crossProducts(scores, design, cluster), design.p),
    scores,
    sets,
    cluster,
    estimatedWeights: weights === "estimated",
    confidence,
    means: columnMeans(columns, follow.weight),
    last: follow.time[follow.order[n - 1]!]!,
  };
  const fit = assemble(state, maximum, start.logLikelihood);
  fit.ties = ties;
  fit.score = chiSquareResult(
    scoreStatistic(start, factorSymmetric(start.information, design.p)),
    design.p,
  );
  rememberState(fit, state);
  return fit;
}

function assemble(
  state: SubdistributionState,
  maximum: Maximum,
  logLikelihoodNull: number,
): SubdistributionFit {
  const { design, names, kept, means, follow, covariance, robust, columns } = state;
  const { p } = design;
  const { logLikelihood } = maximum.at;
  const fit = {
    n: follow.n,
    cause: state.cause,
    events: design.groupEvents.reduce((sum, events) => sum + events, 0),
    competingEvents: design.competing.length,
    iterations: maximum.iterations,
    converged: maximum.converged,
    terms: termsOf(state, maximum) as SubdistributionFit["terms"],
    dropped: names.filter((_, j) => !kept.includes(j)),
    separated: maximum.separated.map((j) => names[kept[j]!]!),
    covariance: unscaled(state, covariance),
    robustCovariance: unscaled(state, robust),
    means: Object.fromEntries(names.map((name, j) => [name, means[j]!])),
    logLikelihood,
    logLikelihoodNull,
    likelihoodRatio: chiSquareResult(Math.max(0, 2 * (logLikelihood - logLikelihoodNull)), p),
    wald: chiSquareResult(p > 0 ? inverseForm(robust, maximum.beta) : 0, p),
    linearPredictor: linearPredictor(state, columns),
    baselineHazard: () => baselineHazardOf(state),
    incidenceFor: (...call) => incidenceOf(state, ...call),
    survivalFor: (...call) => {
      const { time, incidence, standardError, lower, upper } = incidenceOf(state, ...call);
      const rest = (values: Float64Array) => values.map((value) => 1 - value);
      return {
        time,
        survival: rest(incidence),
        standardError,
        lower: rest(upper),
        upper: rest(lower),
      };
    },
  } as SubdistributionFit;
  if (!maximum.converged) fit.reason = reasonOf(maximum, fit.separated);
  let concordance: SubdistributionFit["concordance"] | undefined;
  Object.defineProperty(fit, "concordance", {
    enumerable: true,
    get: () => concordance ??= concordanceWithNever(state, fit.linearPredictor),
  });
  return fit;
}
