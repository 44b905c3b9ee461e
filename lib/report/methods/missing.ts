import type { Method } from "./method.ts";

const designs = [
  "balanceTable",
  "bothProcedures",
  "matchedSample",
  "plannedComparisons",
  "populationAnswers",
  "studyPropensity",
  "weightedSample",
];

/**
 * What was done about missing covariates where the groups were made alike, by the plan's method.
 */
export const missingInDesigns: readonly Method[] = [
  {
    id: "imputed-designs",
    area: "groups",
    label: "designs in completed sets",
    missing: ["impute"],
    sentence: "Missing covariates were imputed several times by chained equations (of more than " +
      "20,000 patients less often, in inverse proportion, but at least three times; each model " +
      "fitted to 50,000 known values where there are more). In each " +
      "completed set the score was fitted, patients were weighted or matched, and the difference " +
      "was estimated anew; estimates were pooled by Rubin's rules with the degrees of freedom of " +
      "Barnard and Rubin. Balance is the mean over the sets (of 20,000 patients and more, over as " +
      "many as it takes until the error of that mean is at most 0.001). Pairs that are counted or drawn are " +
      "those of the mean score, numbers at risk those of the mean weights. Of tests without an " +
      "estimate the median p value is given. Populations and arms are by recorded values.",
    sources: ["white-2011", "leyrat-2019", "rubin-1987", "barnard-1999", "eekhout-2017"],
    functions: [
      ...designs,
      "pooledContrasts",
      "pooledFromLandmark",
      "pooledHazardRatio",
      "pooledIncidenceByGroup",
      "pooledRatioByPeriod",
      "pooledRestrictedMean",
      "pooledSurvivalByGroup",
      "pooledTwoHazards",
      "withCompletions",
    ],
  },
  {
    id: "mean-weights",
    area: "groups",
    label: "mean weights, not pooled",
    missing: ["impute"],
    sentence: "Secondary results use the mean of the weights over the completed sets, or the " +
      "pairs of the mean score: estimates are then those of pooling to first order, and limits " +
      "leave out what imputing adds.",
    sources: ["leyrat-2019"],
    functions: [
      "confounderYardstick",
      "datedRecurrence",
      "leakAtVisits",
      "logRankMax",
      "matchingChoices",
      "matchingOrders",
      "overMeasurements",
      "eraSubgroups",
      "pairsWithstand",
      "ratioOverTime",
      "soughtSubgroup",
      "surgeonAllowedTable",
      "surgeonAnswers",
      "thresholdSubgroups",
      "twoQuantities",
      "valveStates",
      "weightChoices",
    ],
  },
  {
    id: "marked-models",
    area: "groups",
    label: "missing values marked",
    missing: ["impute"],
    sentence: "Models of the ventricle and of the programme do not use the completed sets: a " +
      "missing value takes the mean of the others and is marked by an indicator.",
    sources: ["groenwold-2012"],
    functions: ["measuredVentricles", "meanChange", "programmeComplexity", "programmeLearning"],
  },
  {
    id: "mean-and-mark",
    area: "groups",
    label: "missing values marked",
    missing: ["mean-and-mark"],
    sentence: "A missing covariate takes the mean of the others, or as the plan says of it, and " +
      "is marked by an indicator. That leaves part of the confounding by it where it is.",
    sources: ["groenwold-2012"],
    functions: designs,
  },
  {
    id: "complete-patients",
    area: "groups",
    label: "complete patients only",
    missing: ["complete"],
    sentence: "Patients with a covariate missing were left out, as the flow of patients shows; " +
      "results are of the others.",
    sources: ["white-2011"],
    functions: designs,
  },
];
