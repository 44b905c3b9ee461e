import type { Method } from "./method.ts";

/** The methods of survival, in the order a methods section is read. */
export const survivalMethods: readonly Method[] = [
  {
    id: "kaplan-meier",
    area: "survival",
    label: "Kaplan-Meier",
    sentence:
      "Survival was estimated by the Kaplan-Meier method, with limits on the log-log scale from " +
      "Greenwood's variance, or from the infinitesimal jackknife where patients have weights or " +
      "belong to pairs. Curves carry their limits and the numbers at risk.",
    sources: ["kaplan-1958", "efron-1981", "pocock-2002"],
    functions: ["kaplanMeier", "kaplanMeierByGroup", "survivalDifference", "compareSurvival"],
  },
  {
    id: "survival-difference",
    area: "survival",
    label: "difference at a fixed time",
    sentence:
      "Survival of the groups was compared at fixed times by the difference, pairs kept together.",
    sources: ["klein-2007"],
    functions: ["survivalDifference", "compareSurvival", "bothProcedures"],
  },
  {
    id: "paired-outcome",
    area: "survival",
    label: "paired outcome at a fixed time",
    sentence:
      "Pairs in which the outcome by a fixed time is known of both were compared by McNemar's test, " +
      "with limits for paired proportions.",
    sources: ["mcnemar-1947", "newcombe-1998"],
    functions: ["pairedOutcome"],
  },
  {
    id: "log-rank",
    area: "survival",
    label: "log-rank test",
    sentence: "Whole survival curves were compared by the log-rank test, stratified where said.",
    sources: ["mantel-1966", "harrington-1982"],
    functions: ["logRank"],
  },
  {
    id: "log-rank-max",
    area: "survival",
    label: "largest of weighted log-rank statistics",
    sentence:
      "Where hazards may cross, the largest of several weighted log-rank statistics was tested by " +
      "simulation of their joint distribution.",
    sources: ["tarone-1981", "lee-1996", "owen-2019"],
    functions: ["logRankMax"],
  },
  {
    id: "cox",
    area: "survival",
    label: "Cox regression",
    sentence:
      "Hazard ratios come from Cox regression, ties by Efron's method unless said otherwise, with " +
      "robust variance where patients have weights or belong to pairs.",
    sources: ["cox-1972", "efron-1977", "lin-1989"],
    functions: [
      "coxRegression",
      "periodHazardRatios",
      "groupHazardRatio",
      "pooledHazardRatio",
      "groupRatioByPeriod",
      "pooledRatioByPeriod",
    ],
  },
  {
    id: "cox-residuals",
    area: "survival",
    label: "residuals",
    sentence: "Fits were examined by martingale and Schoenfeld residuals.",
    sources: ["therneau-1990", "schoenfeld-1982"],
    functions: ["coxResiduals"],
  },
  {
    id: "proportional-hazards",
    area: "survival",
    label: "proportional hazards",
    sentence: "Proportional hazards were tested by the score test of a coefficient that changes.",
    sources: ["grambsch-1994"],
    functions: ["proportionalHazardsTest", "groupHazardRatio", "pooledHazardRatio"],
  },
  {
    id: "ratio-over-time",
    area: "survival",
    label: "hazard ratio over time",
    sentence:
      "The hazard ratio was let change smoothly with time, as a restricted cubic spline with " +
      "three knots, with robust limits.",
    sources: ["therneau-2000", "durrleman-1989"],
    functions: ["ratioOverTime"],
  },
  {
    id: "period-hazard-ratios",
    area: "survival",
    label: "hazard ratio by period",
    sentence:
      "Follow-up was divided at times fixed beforehand, each period with its own hazard ratio.",
    sources: ["therneau-2000"],
    functions: ["periodHazardRatios", "splitFollowUp", "groupRatioByPeriod", "pooledRatioByPeriod"],
  },
  {
    id: "restricted-mean",
    area: "survival",
    label: "restricted mean survival",
    sentence: "Years of life are restricted means: the area under the survival curve to a horizon.",
    sources: ["royston-2013"],
    functions: ["restrictedMeanSurvival", "restrictedMeanDifference", "pooledRestrictedMean"],
  },
  {
    id: "landmark",
    area: "survival",
    label: "landmark",
    sentence: "Those alive at a landmark were followed from there, whatever came before left out.",
    sources: ["anderson-1983"],
    functions: ["landmark", "fromLandmark", "pooledFromLandmark"],
  },
  {
    id: "standardised-survival",
    area: "survival",
    label: "regression standardisation",
    sentence:
      "Regression-standardised survival averages, over the population named, what a Cox model in each " +
      "group by itself predicts for everybody.",
    sources: ["robins-1986", "cox-1972"],
    functions: ["standardizedSurvival", "populationWeights", "modelledSurvival"],
  },
  {
    id: "doubly-robust",
    area: "survival",
    label: "doubly robust survival",
    sentence:
      "Doubly robust survival corrects the regression by what weighted patients show of its errors; " +
      "it holds if either the survival models or the models of choice and of censoring are right.",
    sources: ["bai-2013"],
    functions: ["doublyRobustSurvival", "modelledSurvival"],
  },
  {
    id: "expected-survival",
    area: "survival",
    label: "expected survival",
    sentence:
      "Expected survival is that of people of the same age, sex and year in the life table named.",
    sources: ["ederer-1961"],
    functions: ["expectedSurvival", "expectedLines"],
  },
  {
    id: "observed-expected",
    area: "survival",
    label: "observed to expected",
    sentence:
      "Deaths observed were divided by those expected from the life table; limits are exact ones of an effective number " +
      "of deaths, since patients differ.",
    sources: ["breslow-1987", "ulm-1990"],
    functions: ["observedToExpected", "expectedLines"],
  },
  {
    id: "interval-censored",
    area: "survival",
    label: "interval censoring",
    sentence: "Events known only to lie between two visits were estimated by maximum likelihood.",
    sources: ["turnbull-1976", "wellner-1997"],
    functions: ["intervalCensoredSurvival"],
  },
];
