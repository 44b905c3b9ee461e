import type { Method } from "./method.ts";

/** Methods for the programme's own quality, in the order a methods section is read. */
export const programmeMethods: readonly Method[] = [
  {
    id: "programme-rates",
    area: "programme",
    label: "repair rates by kind",
    sentence: "Repair rates are shares of all eligible patients, with Wilson's or exact limits.",
    sources: ["wilson-1927", "clopper-1934"],
    functions: ["repairRatesByKind", "targetRates", "typesTable", "sharesByType"],
  },
  {
    id: "case-mix-standardised",
    area: "programme",
    label: "rates with case mix allowed for",
    sentence:
      "Surgeons' numbers of repairs were set against what a logistic model of all operations " +
      "expected of the same patients, with exact limits; a random intercept drew small numbers " +
      "towards the average, and gave the spread between surgeons (of more than 20,000 operations, " +
      "those of a surgeon with the same outcome and a chance within a hundredth of log odds were " +
      "taken together).",
    sources: ["breslow-1987", "lancaster-1961", "liu-1994", "cox-1987", "spiegelhalter-2005"],
    functions: [
      "standardizedRates",
      "surgeonRates",
      "surgeonRatesAgainst",
      "randomInterceptLogistic",
      "funnelLimits",
      "funnelPowerTable",
      "comparisonBySurgeon",
      "surgeonAnswers",
    ],
  },
  {
    id: "complexity-score",
    area: "programme",
    label: "complexity score",
    sentence:
      "The complexity score rounds a penalised logistic model of leaving theatre without a repair " +
      "to points; its c-statistic and calibration were corrected by bootstrap of the whole score, and " +
      "patients were ranked and compared by scores made without them.",
    sources: ["cessie-1992", "sullivan-2004", "harrell-1996", "lorenz-1905"],
    functions: [
      "complexityScore",
      "programmeComplexity",
      "concentrationCurve",
      "hardestTypes",
      "hardestTable",
      "optimismOfEach",
    ],
  },
  {
    id: "durable-repair",
    area: "programme",
    label: "repair that lasts",
    sentence:
      "Of all patients, those repaired and free of failure were counted, failure with death " +
      "competing; patients lost from sight are stood for by others. Chances for the team's meeting have " +
      "limits for few surgeons, and were judged on patients they were not made from.",
    sources: [
      "aalen-1978",
      "robins-2000",
      "gerds-2014",
      "graf-1999",
      "blanche-2013",
      "bell-2002",
      "imbens-2016",
    ],
    functions: [
      "durableRepair",
      "durableByVolume",
      "referralTable",
      "programmeReferral",
      "yearlyDurable",
      "calibrationAt",
      "brierScore",
      "areaUnderCurve",
    ],
  },
  {
    id: "learning",
    area: "programme",
    label: "learning curves",
    sentence:
      "Outcomes were modelled on a spline of the surgeon's experience within surgeons, calendar " +
      "year, volume and complexity held alike (of more than 50,000 operations, so many drawn at " +
      "random); the number of cases to a plateau has limits from a profile of the likelihood, and " +
      "they and the test allow, by outcomes drawn anew (of more than 20,000 operations, by the sums " +
      "of such draws, from their normal distribution), for the number having been looked for.",
    sources: ["neuhaus-1998", "hansen-1996", "hansen-2017", "seber-1989"],
    functions: ["learningCurve", "learningPlateau", "programmeLearning"],
  },
  {
    id: "monitoring",
    area: "programme",
    label: "charts of change",
    sentence:
      "Observed less expected failures were added up, and charts of log-likelihood ratios begin " +
      "again after each signal; their limits give the planned mean run for this case mix by a " +
      "Markov chain.",
    sources: ["lovegrove-1997", "steiner-2000", "brook-1972"],
    functions: ["programmeMonitoring", "riskAdjustedCusum", "limitForRunLength", "runLength"],
  },
  {
    id: "segmented-trend",
    area: "programme",
    label: "change over the years",
    sentence:
      "Segmented regression on calendar time changes level and slope only at planned dates.",
    sources: ["wagner-2002"],
    functions: ["segmentedTrend", "yearlyTrend", "yearlyComplexity", "yearlyChanges"],
  },
];
