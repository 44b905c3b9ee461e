/**
 * The comparisons of the plan: in each population, between techniques, benefit beside harm.
 *
 * @module
 */
export {
  disjointPopulations,
  type EndpointAnswer,
  type EndpointContrast,
  enoughInWords,
  type Heterogeneity,
  mainAnswer,
  membership,
  type Population,
  type PopulationAnswer,
  type PopulationAnswers,
  populationAnswers,
  type PopulationDesign,
  type PopulationScore,
  populationsOf,
} from "./populations/mod.ts";
export {
  type ArmAnswers,
  armAnswers,
  type ArmDesign,
  type ArmEndpoint,
  type ArmPairContrast,
  type ArmRows,
  type ComparisonAnswer,
  plannedComparisons,
} from "./arms/mod.ts";
