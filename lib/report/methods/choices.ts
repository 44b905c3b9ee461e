import type { Method } from "./method.ts";

/** Missing values, choices of the analyst, and bias that the data cannot show. */
export const choiceMethods: readonly Method[] = [
  {
    id: "multiple-imputation",
    area: "sensitivity",
    label: "multiple imputation",
    sentence: "Missing covariates were imputed several times by chained equations with group and " +
      "outcome among the predictors, and estimates pooled by Rubin's rules.",
    sources: ["white-2011", "white-2009", "rubin-1987", "barnard-1999"],
    functions: [
      "acrossSets",
      "completedSets",
      "imputeColumns",
      "outcomeColumns",
      "poolContrast",
      "poolContrasts",
      "poolImputations",
      "poolIncidence",
      "poolIntervals",
      "poolSurvival",
    ],
  },
  {
    id: "imputation-checks",
    area: "sensitivity",
    label: "checks of imputation",
    sentence: "Imputed values were held against known ones, and chains against each other.",
    sources: ["gelman-1992", "hippel-2020"],
    functions: ["mixing", "observedAgainstImputed", "setsForPrecision", "setsSentence"],
  },
  {
    id: "not-at-random",
    area: "sensitivity",
    label: "values not missing at random",
    sentence:
      "Imputed values were moved step by step, to see how far from missing at random they " +
      "would have to be for the answer to change.",
    sources: ["cro-2020"],
    functions: ["tippingPoint"],
  },
  {
    id: "drawn-patients",
    area: "sensitivity",
    label: "patients drawn at random",
    sentence: "Of more than 50,000 patients, what asks whether the answer hangs on a choice, and " +
      "recurrence between visits, were worked out in 50,000 drawn at random; captions say so.",
    sources: ["fan-1962"],
    functions: ["enoughOf", "enoughToRepeat", "enoughOfCohort"],
  },
  {
    id: "paths",
    area: "sensitivity",
    label: "every defensible path",
    sentence: "The comparison was made by every combination of defensible choices; paths share " +
      "their patients, so their shares are no probabilities. Of recurrence between visits a path's " +
      "error is that of 40 draws of patients (15 of more than 20,000 patients).",
    sources: ["simonsohn-2020"],
    functions: ["choiceInfluence", "everyPath", "specificationCurve", "studyChoices", "studyPaths"],
  },
  {
    id: "confounder-yardstick",
    area: "sensitivity",
    label: "measured confounders as a yardstick",
    sentence:
      "Each measured covariate was left out in turn, to show how far one more confounder of " +
      "its kind could move the estimate.",
    sources: ["hosman-2010"],
    functions: ["confounderYardstick"],
  },
  {
    id: "supposed-confounder",
    area: "sensitivity",
    label: "a supposed confounder",
    sentence: "The estimate was freed of the bias of one unmeasured yes/no confounder as it was " +
      "believed to be, the belief given as distributions.",
    sources: ["lash-2009"],
    functions: ["confounderBias", "supposedConfounder", "supposedTable"],
  },
  {
    id: "negative-control",
    area: "sensitivity",
    label: "negative control",
    sentence:
      "The comparison was repeated on an outcome that the operation cannot change, and on an " +
      "exposure that cannot change the outcome.",
    sources: ["lipsitch-2010"],
    functions: ["negativeControl", "negativeControls"],
  },
  {
    id: "misread-outcome",
    area: "sensitivity",
    label: "misread grades",
    sentence: "Proportions were corrected for the sensitivity and specificity of the reading, " +
      "within bounds.",
    sources: ["rogan-1978"],
    functions: ["misreadOutcome", "misreadTable"],
  },
  {
    id: "tipping-map",
    area: "sensitivity",
    label: "patients not seen",
    sentence: "The difference was worked out for any share of events among patients whose state " +
      "is not known.",
    sources: ["yan-2009"],
    functions: ["seenByTime", "stateByTime", "tippingMap", "unknownTable"],
  },
  {
    id: "preference-instrument",
    area: "sensitivity",
    label: "preference of the surgeon as an instrument",
    sentence: "The share of repairs among a surgeon's other patients served as an instrument in " +
      "two-stage least squares of pseudo-values, with errors over surgeons.",
    sources: ["brookhart-2007", "staiger-1997", "andersen-2003"],
    functions: ["preferenceInstrument", "pseudoValues", "studyInstrument"],
  },
];
