import type { Method } from "./method.ts";

/**
 * The methods of events with death competing, and the valve over time, in the order a methods
 * section is read.
 */
export const eventMethods: readonly Method[] = [
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
      "compareIncidence",
      "eventRisks",
      "thresholdSubgroups",
      "twoQuantities",
    ],
  },
  {
    id: "incidence-difference",
    area: "competing",
    label: "difference in incidence",
    sentence: "Cumulative incidence was compared at fixed times by the difference.",
    sources: ["zhang-2008"],
    functions: ["incidenceDifference", "subgroupDifference", "compareIncidence", "eventRisks"],
  },
  {
    id: "ignoring-competing",
    area: "competing",
    label: "one minus Kaplan-Meier",
    sentence:
      "One minus Kaplan-Meier stands beside it where older papers print it; it overestimates what " +
      "patients experience.",
    sources: ["gooley-1999"],
    functions: ["incidenceIgnoringCompetingEvents", "twoQuantities"],
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
      "Subgroups were compared by the difference of their differences, not by two p values; its p " +
      "value and limits come from drawing the line at random within each group (of more than 20,000 " +
      "patients with 100 events in each part, from the normal distribution), and with fewer than ten " +
      "events there is none.",
    sources: ["altman-2003", "chung-2013"],
    functions: ["subgroupDifference", "thresholdSubgroups"],
  },
  {
    id: "cause-specific",
    area: "competing",
    label: "cause-specific hazards",
    sentence: "Cause-specific hazards take each other kind of event as censoring.",
    sources: ["prentice-1978", "latouche-2013"],
    functions: ["causeSpecific", "twoHazardRatios", "pooledTwoHazards"],
  },
  {
    id: "subdistribution",
    area: "competing",
    label: "subdistribution hazards",
    sentence: "Subdistribution hazard ratios come from the model of Fine and Gray.",
    sources: ["fine-1999", "zhou-2012"],
    functions: ["subdistributionRegression", "twoHazardRatios", "pooledTwoHazards"],
  },
  {
    id: "subdistribution-proportionality",
    area: "competing",
    label: "proportional subdistribution hazards",
    sentence: "Whether subdistribution hazards are proportional was tested.",
    sources: ["zhou-2013"],
    functions: ["subdistributionProportionality", "twoHazardRatios", "pooledTwoHazards"],
  },
  {
    id: "incidence-by-measurement",
    area: "competing",
    label: "incidence over a measurement",
    sentence:
      "Incidence over a measurement comes from a subdistribution regression with a restricted cubic " +
      "spline of it in each group; whether the difference between the groups changes with it was " +
      "tested on pseudo-values, the measurements of a group given to its patients at random (of more " +
      "than 20,000 patients with 1,000 events against chi-square).",
    sources: ["fine-1999", "royston-2006", "andersen-2003", "chung-2013"],
    functions: ["incidenceByMeasurement", "measurementInteraction", "overMeasurements"],
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
    functions: ["stateOccupation", "expectedTimeDifference", "transitionRows", "valveStates"],
  },
  {
    id: "between-visits",
    area: "competing",
    label: "recurrence between visits",
    sentence:
      "Recurrence that may have come at any time between two echocardiograms was estimated by " +
      "maximum likelihood in a model with death, beside bounds that assume nothing; the difference " +
      "between the groups has the limits of both, squared and added, each from the standard error of a " +
      "bootstrap over the whole procedure, the score and the weights among it (of more than 20,000 " +
      "patients with 20 to 50 draws).",
    sources: [
      "frydman-2009",
      "hudgens-2001",
      "turnbull-1976",
      "wellner-1997",
      "efron-1993",
      "austin-2016",
      "korn-1998",
      "zou-2008",
    ],
    functions: [
      "intervalCensoredIncidence",
      "incidenceBounds",
      "datedRecurrence",
      "recurrenceBetweenVisits",
    ],
  },
  {
    id: "recurrence-shortcuts",
    area: "competing",
    label: "ways of dating recurrence",
    sentence:
      "The interval-censored incidence stands beside the date of discovery, the midpoint, the last " +
      "clear visit and the date of discovery with deaths censored, and between its bounds.",
    sources: ["frydman-2009", "hudgens-2001"],
    functions: ["recurrenceShortcuts", "datedRecurrence"],
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
    functions: ["visitWeights", "proportionOverTime", "leakAtVisits"],
  },
  {
    id: "rates",
    area: "valve",
    label: "linearised rates",
    sentence: "Linearised rates are events per 100 patient-years with exact limits.",
    sources: ["garwood-1936", "akins-2008"],
    functions: ["rateInterval", "linearisedRates"],
  },
];
