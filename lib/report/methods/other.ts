import type { Method } from "./method.ts";

/**
 * The methods of other estimates, and what would change the answer, in the order a methods section
 * is read.
 */
export const otherMethods: readonly Method[] = [
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
    functions: [
      "rocCurve",
      "rocDifference",
      "overlapOf",
      "ventricleModelMeasures",
      "toldApartTable",
    ],
  },
  {
    id: "calibration",
    area: "other",
    label: "calibration",
    sentence: "Predictions were compared with what happened, by intercept, slope and group.",
    sources: ["cox-1958", "steyerberg-2010"],
    functions: ["calibration", "ventricleCalibration"],
  },
  {
    id: "mean-change",
    area: "other",
    label: "adjusted change",
    sentence:
      "Changes of a measurement were modelled by linear regression with a spline of what it was " +
      "before, the plan's covariates, and robust errors.",
    sources: ["durrleman-1989", "white-1980"],
    functions: ["meanChange", "smoothMean"],
  },
  {
    id: "decision-curve",
    area: "other",
    label: "decision curve",
    sentence: "Net benefit weighs needless actions against missed ones at each risk at which one " +
      "would act; risks were predicted by models made without the patient.",
    sources: ["vickers-2006"],
    functions: ["decisionCurve", "marksDecision"],
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
    sentence:
      "Limits without a formula come from resampling patients, or pairs where matched: corrected for " +
      "bias and skewness where the bias is at most a quarter of the standard error, else the " +
      "estimate and its standard error's.",
    sources: ["efron-1993", "efron-1987", "austin-2014"],
    functions: ["bootstrap", "resampler", "rematcher", "reweighter"],
  },
  {
    id: "procedure-bootstrap",
    area: "sensitivity",
    label: "bootstrap of the procedure",
    sentence:
      "Bootstrap limits repeat matching or weighting in every replicate, or draw matched pairs whole; " +
      "of more than 20,000 patients or pairs a replicate draws 20,000, and the standard error of " +
      "the draws is multiplied by the root of their share.",
    sources: ["austin-2014", "austin-2016", "bickel-1997"],
    functions: ["procedureBootstrap", "pairBootstrap", "repeatedProcedure"],
  },
  {
    id: "e-value",
    area: "sensitivity",
    label: "E-value",
    sentence:
      "The E-value is how strongly something unmeasured would have to go with both operation and " +
      "outcome to explain the difference.",
    sources: ["vanderweele-2017"],
    functions: [
      "eValue",
      "neededConfounding",
      "neededTable",
      "riskRatioFromHazardRatio",
      "riskRatioFromOddsRatio",
    ],
  },
  {
    id: "hidden-bias",
    area: "sensitivity",
    label: "hidden bias in pairs",
    sentence: "Bounds of the p value in pairs show how much hidden bias the result withstands.",
    sources: ["rosenbaum-2002"],
    functions: ["pairsWithstand", "rosenbaumBounds", "rosenbaumThreshold", "signedRankBounds"],
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
