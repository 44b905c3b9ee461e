import type { Method } from "./method.ts";

/** The methods of answers by population, of benefit beside harm, and of several arms. */
export const populationMethods: readonly Method[] = [
  {
    id: "populations",
    area: "groups",
    label: "populations",
    sentence:
      "In each population of the plan the propensity score was fitted and the weights were made anew, " +
      "with the score of everybody adapted where the population was too small; no number is given " +
      "where the effective number, the overlap, the balance or the events fall short of the plan.",
    sources: ["li-2018", "austin-2009"],
    functions: ["populationAnswers"],
  },
  {
    id: "population-differences",
    area: "other",
    label: "differences between populations",
    sentence:
      "Whether a difference depends on the population was tested by Cochran's statistic on the scale of " +
      "differences, among populations that share no patient; each was also drawn towards the others by " +
      "empirical Bayes estimates under a normal model.",
    sources: ["cochran-1954", "morris-1983"],
    functions: ["populationSections", "populationTable"],
  },
  {
    id: "ledger",
    area: "other",
    label: "benefit beside harm",
    sentence:
      "Benefits and harms are weighted shares of each group, or weighted medians with bootstrap limits, " +
      "in whole patients of 100; months without valve failure are restricted means.",
    sources: ["efron-1993", "royston-2013"],
    functions: ["ledgerOf"],
  },
  {
    id: "arms",
    area: "groups",
    label: "several arms",
    sentence:
      "Arms of a comparison of techniques were scored by multinomial logistic regression and weighted to " +
      "the patients who could have been in any of them, the weights moved as little as makes the means " +
      "of every characteristic equal; pairwise differences have limits that hold for " +
      "all pairs together, and patients of one surgeon are kept together where there are enough surgeons.",
    sources: ["imbens-2000", "li-2019", "deville-1992", "hainmueller-2012", "hothorn-2008"],
    functions: ["armAnswers", "plannedComparisons"],
  },
];
