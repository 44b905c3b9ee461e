import type { Method } from "./method.ts";
import { missingInDesigns } from "./missing.ts";

/**
 * The methods of who was followed and how the groups were made alike, in the order a methods
 * section is read.
 */
export const groupMethods: readonly Method[] = [
  {
    id: "completeness",
    area: "follow-up",
    label: "completeness of follow-up",
    sentence:
      "Completeness of follow-up is the person-time observed divided by the person-time possible.",
    sources: ["clark-2002"],
    functions: ["followUpCompleteness"],
  },
  {
    id: "median-follow-up",
    area: "follow-up",
    label: "median follow-up",
    sentence:
      "Median follow-up is that of the reverse Kaplan-Meier curve, in which deaths are censored.",
    sources: ["schemper-1996"],
    functions: ["medianFollowUp"],
  },
  {
    id: "ventricle-after",
    area: "follow-up",
    label: "impaired ventricle",
    sentence:
      "An impaired ventricle a year after operation was counted by the number of published warning " +
      "marks, among survivors with an echocardiogram in the window.",
    sources: ["tribouilloy-2011"],
    functions: ["ventricleAfter"],
  },
  {
    id: "measurement-weights",
    area: "follow-up",
    label: "weights for being measured",
    sentence:
      "Patients who were measured were weighted by the inverse of their chance of being measured, so " +
      "that they stand for all who could have been.",
    sources: ["seaman-2013"],
    functions: ["measurementWeights", "measuredVentricles"],
  },
  {
    id: "smooth-risk",
    area: "follow-up",
    label: "risk over measurements",
    sentence:
      "The risk of an impaired ventricle follows its measurements smoothly, as restricted cubic " +
      "splines in a logistic model.",
    sources: ["durrleman-1989", "mccullagh-1989"],
    functions: ["smoothRisk", "ventricleRisk"],
  },
  {
    id: "optimism",
    area: "follow-up",
    label: "correction for optimism",
    sentence:
      "Measures of the model were corrected for having been taken on its own patients, by making it " +
      "anew in bootstrap samples; predictions compared with what happened come from models made " +
      "without the patients predicted.",
    sources: ["harrell-1996", "stone-1974"],
    functions: ["optimism", "heldOut", "ventricleModelMeasures", "ventricleCalibration"],
  },
  {
    id: "propensity",
    area: "groups",
    label: "propensity score",
    sentence:
      "The propensity score, the probability of a repair as the plan takes the groups, given the characteristics in the " +
      "plan, was estimated by logistic regression.",
    sources: ["rosenbaum-1983", "mccullagh-1989"],
    functions: [
      "studyPropensity",
      "propensityScore",
      "designMatrix",
      "matchedSample",
      "weightedSample",
      "scoreGroups",
    ],
  },
  ...missingInDesigns,
  {
    id: "overlap",
    area: "groups",
    label: "overlap",
    sentence: "Overlap of the groups was judged by the range of scores that both have.",
    sources: ["crump-2009"],
    functions: ["overlapOf"],
  },
  {
    id: "matching",
    area: "groups",
    label: "matched pairs",
    sentence:
      "Pairs were matched on the logit of the propensity score within a caliper, as the plan says " +
      "above, and analysed as pairs.",
    sources: ["austin-2011a", "austin-2011b"],
    functions: ["matchedSample", "matchPairs", "rematcher", "matchingChoices", "matchingOrders"],
  },
  {
    id: "weighting",
    area: "groups",
    label: "weights",
    sentence:
      "Patients were weighted by the propensity score for the population the plan names; variances " +
      "are robust and take the weights as known.",
    sources: ["li-2018", "cole-2008"],
    functions: ["weightedSample", "balancingWeights", "reweighter", "weightChoices"],
  },
  {
    id: "entropy-weights",
    area: "groups",
    label: "entropy balancing",
    sentence: "Weights were also chosen so that the means of both groups agree exactly.",
    sources: ["hainmueller-2012"],
    functions: ["entropyWeights", "weightChoices"],
  },
  {
    id: "effective-sample-size",
    area: "groups",
    label: "effective sample size",
    sentence:
      "The effective sample size is the squared sum of the weights over the sum of squares.",
    sources: ["kish-1965"],
    functions: ["effectiveSampleSize", "weightedSample", "weightChoices"],
  },
  {
    id: "standardised-difference",
    area: "groups",
    label: "standardised differences",
    sentence:
      "Balance was judged by standardised differences, with the standard deviation of the sample " +
      "before adjustment; it was never tested.",
    sources: ["austin-2009", "yang-2012"],
    functions: [
      "balanceTable",
      "characteristics",
      "unmatchedProfile",
      "standardizedDifference",
      "categoricalDifference",
    ],
  },
  {
    id: "variance-ratio",
    area: "groups",
    label: "variance ratios",
    sentence: "Variances of a measurement in the two groups were compared as a ratio.",
    sources: ["rubin-2001", "austin-2015"],
    functions: ["varianceRatio"],
  },
  {
    id: "distribution-distance",
    area: "groups",
    label: "whole distributions",
    sentence: "Whole distributions were compared by the largest distance between them.",
    sources: ["austin-2015"],
    functions: ["distributionDistance"],
  },
];
