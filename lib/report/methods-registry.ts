import type { ReferenceKey } from "./references.ts";

/** The paragraphs of a methods section, in their order. */
export const methodAreas = {
  "follow-up": "Follow-up and the ventricle",
  groups: "Making the groups alike",
  survival: "Survival",
  competing: "Recurrence, with death competing",
  valve: "The valve over time",
  other: "Other estimates",
  sensitivity: "Sensitivity and resampling",
} as const;
export type MethodArea = keyof typeof methodAreas;

/** A method as a methods section tells it. */
export interface Method {
  /** Lower-case words joined by hyphens: its anchor. */
  id: string;
  /** The paragraph it belongs to. */
  area: MethodArea;
  /** A few words, as they stand beside a table. */
  label: string;
  /** One or two sentences on what was done, true of every use of its functions. */
  sentence: string;
  sources: readonly ReferenceKey[];
  /** The functions of the library whose use is the use of this method. */
  functions: readonly string[];
}

/**
 * What each estimator does, in the order a methods section is read. The report prints those that
 * the executed notebooks called and no others.
 */
export const methodsRegistry: readonly Method[] = [
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
    id: "propensity",
    area: "groups",
    label: "propensity score",
    sentence:
      "The propensity score, the probability of an intended repair given the characteristics in the " +
      "plan, was estimated by logistic regression; a missing value takes the mean of the others and " +
      "is marked by an indicator.",
    sources: ["rosenbaum-1983", "mccullagh-1989", "groenwold-2012"],
    functions: [
      "studyPropensity",
      "propensityScore",
      "designMatrix",
      "matchedSample",
      "weightedSample",
    ],
  },
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
    functions: ["matchedSample", "matchPairs", "rematcher"],
  },
  {
    id: "weighting",
    area: "groups",
    label: "weights",
    sentence:
      "Patients were weighted by the propensity score for the population the plan names; variances " +
      "are robust and take the weights as known.",
    sources: ["li-2018", "cole-2008"],
    functions: ["weightedSample", "balancingWeights", "reweighter"],
  },
  {
    id: "entropy-weights",
    area: "groups",
    label: "entropy balancing",
    sentence: "Weights were also chosen so that the means of both groups agree exactly.",
    sources: ["hainmueller-2012"],
    functions: ["entropyWeights"],
  },
  {
    id: "effective-sample-size",
    area: "groups",
    label: "effective sample size",
    sentence:
      "The effective sample size is the squared sum of the weights over the sum of squares.",
    sources: ["kish-1965"],
    functions: ["effectiveSampleSize", "weightedSample"],
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
  {
    id: "kaplan-meier",
    area: "survival",
    label: "Kaplan-Meier",
    sentence:
      "Survival was estimated by the Kaplan-Meier method, with limits on the log-log scale from " +
      "Greenwood's variance, or from the infinitesimal jackknife where patients have weights or " +
      "belong to pairs. Curves carry their limits and the numbers at risk.",
    sources: ["kaplan-1958", "efron-1981", "pocock-2002"],
    functions: ["kaplanMeier", "kaplanMeierByGroup", "survivalDifference"],
  },
  {
    id: "survival-difference",
    area: "survival",
    label: "difference at a fixed time",
    sentence:
      "Survival of the groups was compared at fixed times by the difference, pairs kept together.",
    sources: ["klein-2007"],
    functions: ["survivalDifference"],
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
    functions: ["coxRegression", "periodHazardRatios"],
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
    functions: ["proportionalHazardsTest"],
  },
  {
    id: "period-hazard-ratios",
    area: "survival",
    label: "hazard ratio by period",
    sentence:
      "Follow-up was divided at times fixed beforehand, each period with its own hazard ratio.",
    sources: ["therneau-2000"],
    functions: ["periodHazardRatios", "splitFollowUp"],
  },
  {
    id: "restricted-mean",
    area: "survival",
    label: "restricted mean survival",
    sentence: "Years of life are restricted means: the area under the survival curve to a horizon.",
    sources: ["royston-2013"],
    functions: ["restrictedMeanSurvival", "restrictedMeanDifference"],
  },
  {
    id: "landmark",
    area: "survival",
    label: "landmark",
    sentence: "Those alive at a landmark were followed from there, whatever came before left out.",
    sources: ["anderson-1983"],
    functions: ["landmark"],
  },
  {
    id: "standardised-survival",
    area: "survival",
    label: "regression standardisation",
    sentence:
      "Regression-standardised survival averages, over the population named, what a Cox model in each " +
      "group by itself predicts for everybody.",
    sources: ["robins-1986", "cox-1972"],
    functions: ["standardizedSurvival", "populationWeights"],
  },
  {
    id: "doubly-robust",
    area: "survival",
    label: "doubly robust survival",
    sentence:
      "Doubly robust survival corrects the regression by what weighted patients show of its errors; " +
      "it holds if either the survival models or the models of choice and of censoring are right.",
    sources: ["bai-2013"],
    functions: ["doublyRobustSurvival"],
  },
  {
    id: "expected-survival",
    area: "survival",
    label: "expected survival",
    sentence:
      "Expected survival is that of people of the same age, sex and year in the life table named.",
    sources: ["ederer-1961"],
    functions: ["expectedSurvival"],
  },
  {
    id: "observed-expected",
    area: "survival",
    label: "observed to expected",
    sentence: "Deaths observed were divided by those expected from the life table, limits exact.",
    sources: ["breslow-1987", "ulm-1990"],
    functions: ["observedToExpected"],
  },
  {
    id: "interval-censored",
    area: "survival",
    label: "interval censoring",
    sentence: "Events known only to lie between two visits were estimated by maximum likelihood.",
    sources: ["turnbull-1976", "wellner-1997"],
    functions: ["intervalCensoredSurvival"],
  },
  {
    id: "cumulative-incidence",
    area: "competing",
    label: "cumulative incidence",
    sentence:
      "The incidence of events that death may forestall is the Aalen-Johansen estimate, with every " +
      "competing event counted.",
    sources: ["aalen-1978"],
    functions: [
      "cumulativeIncidence",
      "cumulativeIncidenceByGroup",
      "incidenceDifference",
      "subgroupDifference",
    ],
  },
  {
    id: "incidence-difference",
    area: "competing",
    label: "difference in incidence",
    sentence: "Cumulative incidence was compared at fixed times by the difference.",
    sources: ["zhang-2008"],
    functions: ["incidenceDifference", "subgroupDifference"],
  },
  {
    id: "ignoring-competing",
    area: "competing",
    label: "one minus Kaplan-Meier",
    sentence:
      "One minus Kaplan-Meier stands beside it where older papers print it; it overestimates what " +
      "patients experience.",
    sources: ["gooley-1999"],
    functions: ["incidenceIgnoringCompetingEvents"],
  },
  {
    id: "gray-test",
    area: "competing",
    label: "Gray's test",
    sentence: "Whole curves of cumulative incidence were compared by Gray's test.",
    sources: ["gray-1988"],
    functions: ["grayTest"],
  },
  {
    id: "subgroups",
    area: "competing",
    label: "interaction",
    sentence:
      "Subgroups were compared by the difference of their differences, not by two p values.",
    sources: ["altman-2003"],
    functions: ["subgroupDifference"],
  },
  {
    id: "cause-specific",
    area: "competing",
    label: "cause-specific hazards",
    sentence: "Cause-specific hazards take each other kind of event as censoring.",
    sources: ["prentice-1978", "latouche-2013"],
    functions: ["causeSpecific"],
  },
  {
    id: "subdistribution",
    area: "competing",
    label: "subdistribution hazards",
    sentence: "Subdistribution hazard ratios come from the model of Fine and Gray.",
    sources: ["fine-1999", "zhou-2012"],
    functions: ["subdistributionRegression"],
  },
  {
    id: "subdistribution-proportionality",
    area: "competing",
    label: "proportional subdistribution hazards",
    sentence: "Whether subdistribution hazards are proportional was tested.",
    sources: ["zhou-2013"],
    functions: ["subdistributionProportionality"],
  },
  {
    id: "incidence-by-measurement",
    area: "competing",
    label: "incidence over a measurement",
    sentence:
      "Incidence over a measurement comes from a subdistribution regression with a restricted cubic " +
      "spline of it in each group.",
    sources: ["fine-1999", "royston-2006"],
    functions: ["incidenceByMeasurement"],
  },
  {
    id: "sought-threshold",
    area: "competing",
    label: "threshold sought in the data",
    sentence:
      "A threshold sought in these data is corrected for having been sought, by repeating the search " +
      "in bootstrap samples; it is exploratory.",
    sources: ["efron-1993", "altman-2003"],
    functions: ["soughtSubgroup"],
  },
  {
    id: "states",
    area: "competing",
    label: "states over time",
    sentence: "The share of patients in each state over time is the Aalen-Johansen estimate.",
    sources: ["aalen-1978", "datta-2001"],
    functions: ["stateOccupation", "expectedTimeDifference", "transitionRows"],
  },
  {
    id: "between-visits",
    area: "competing",
    label: "recurrence between visits",
    sentence:
      "Recurrence that may have come at any time between two echocardiograms was estimated by " +
      "maximum likelihood in a model with death, beside bounds that assume nothing.",
    sources: ["frydman-2009", "hudgens-2001", "turnbull-1976"],
    functions: ["intervalCensoredIncidence", "incidenceBounds"],
  },
  {
    id: "recurrence-shortcuts",
    area: "competing",
    label: "ways of dating recurrence",
    sentence:
      "The interval-censored incidence stands beside the date of discovery, the midpoint, the last " +
      "clear visit and the date of discovery with deaths censored, and between its bounds.",
    sources: ["frydman-2009", "hudgens-2001"],
    functions: ["recurrenceShortcuts"],
  },
  {
    id: "ordinal",
    area: "valve",
    label: "model of grade",
    sentence:
      "Grades were modelled by cumulative logits, with errors robust to several grades of one patient.",
    sources: ["mccullagh-1980"],
    functions: ["ordinalRegression", "gradesOverTime"],
  },
  {
    id: "visit-weights",
    area: "valve",
    label: "weighting for visits",
    sentence:
      "Echocardiograms made because of symptoms were weighed by the inverse of how likely a visit was, " +
      "from a model of visits as recurrent events.",
    sources: ["lin-2004"],
    functions: ["visitWeights", "proportionOverTime"],
  },
  {
    id: "rates",
    area: "valve",
    label: "linearised rates",
    sentence: "Linearised rates are events per 100 patient-years with exact limits.",
    sources: ["garwood-1936", "akins-2008"],
    functions: ["rateInterval", "linearisedRates"],
  },
  {
    id: "logistic",
    area: "other",
    label: "logistic regression",
    sentence: "Outcomes of yes or no were modelled by logistic regression.",
    sources: ["mccullagh-1989"],
    functions: ["logisticRegression"],
  },
  {
    id: "splines",
    area: "other",
    label: "splines",
    sentence: "Curved effects were modelled by restricted cubic splines.",
    sources: ["durrleman-1989"],
    functions: ["splineBasis", "splineKnots"],
  },
  {
    id: "roc",
    area: "other",
    label: "c-statistic",
    sentence: "Discrimination is the area under the curve of sensitivity against false alarms.",
    sources: ["delong-1988"],
    functions: ["rocCurve", "rocDifference", "overlapOf"],
  },
  {
    id: "calibration",
    area: "other",
    label: "calibration",
    sentence: "Predictions were compared with what happened, by intercept, slope and group.",
    sources: ["cox-1958", "steyerberg-2010"],
    functions: ["calibration"],
  },
  {
    id: "proportions",
    area: "other",
    label: "limits of proportions",
    sentence: "Limits of proportions are Wilson's score limits or exact.",
    sources: ["wilson-1927", "clopper-1934"],
    functions: ["proportionInterval"],
  },
  {
    id: "two-samples",
    area: "other",
    label: "two-sample tests",
    sentence: "Two samples were compared by Welch's test of means or the rank-sum test.",
    sources: ["welch-1947", "mann-1947"],
    functions: ["welchTest", "pairedTest", "rankSumTest"],
  },
  {
    id: "counts",
    area: "other",
    label: "tests of counts",
    sentence: "Tables of counts were tested by the chi-square, exact or McNemar's test.",
    sources: ["pearson-1900", "fisher-1935", "mcnemar-1947"],
    functions: ["chiSquareTest", "fisherTest", "mcnemarTest"],
  },
  {
    id: "distributions-test",
    area: "other",
    label: "test of distributions",
    sentence: "Distributions were compared by the Kolmogorov-Smirnov test.",
    sources: ["smirnov-1948"],
    functions: ["kolmogorovSmirnovTest"],
  },
  {
    id: "bootstrap",
    area: "sensitivity",
    label: "bootstrap",
    sentence: "Limits without a formula come from resampling patients, or pairs where matched.",
    sources: ["efron-1993", "austin-2014"],
    functions: ["bootstrap", "resampler", "rematcher", "reweighter"],
  },
  {
    id: "procedure-bootstrap",
    area: "sensitivity",
    label: "bootstrap of the procedure",
    sentence:
      "Bootstrap limits repeat matching or weighting in every replicate, or draw matched pairs whole.",
    sources: ["austin-2014", "austin-2016"],
    functions: ["procedureBootstrap", "pairBootstrap"],
  },
  {
    id: "multiple-imputation",
    area: "sensitivity",
    label: "multiple imputation",
    sentence: "Estimates from several completed data sets were pooled by Rubin's rules.",
    sources: ["rubin-1987", "barnard-1999"],
    functions: ["poolImputations"],
  },
  {
    id: "e-value",
    area: "sensitivity",
    label: "E-value",
    sentence:
      "The E-value is how strongly something unmeasured would have to go with both operation and " +
      "outcome to explain the difference.",
    sources: ["vanderweele-2017"],
    functions: ["eValue", "riskRatioFromHazardRatio", "riskRatioFromOddsRatio"],
  },
  {
    id: "hidden-bias",
    area: "sensitivity",
    label: "hidden bias in pairs",
    sentence: "Bounds of the p value in pairs show how much hidden bias the result withstands.",
    sources: ["rosenbaum-2002"],
    functions: ["rosenbaumBounds", "rosenbaumThreshold", "signedRankBounds"],
  },
  {
    id: "power",
    area: "sensitivity",
    label: "events needed",
    sentence: "The number of events that a difference would need follows Schoenfeld's formula.",
    sources: ["schoenfeld-1983"],
    functions: ["requiredEvents", "requiredPatients", "powerForEvents"],
  },
];
