/** The comparisons of the plan: in each population, between techniques, benefit beside harm. @module */
export {
  disjointPopulations,
  type EndpointAnswer,
  type EndpointContrast,
  enoughInWords,
  type Heterogeneity,
  membership,
  type Population,
  type PopulationAnswer,
  type PopulationAnswers,
  populationAnswers,
  type PopulationDesign,
  populationsOf,
} from "./populations/mod.ts";
export {
  type ArmAnswers,
  armAnswers,
  type ArmContrast,
  type ArmDesign,
  type ArmEndpoint,
} from "./arms/mod.ts";
