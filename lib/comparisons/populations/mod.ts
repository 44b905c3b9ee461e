/**
 * The main comparison made again in each population of the plan, and whether its answers differ.
 *
 * @module
 */
export {
  contrastsOf,
  type EndpointContrast,
  endpointContrasts,
  errorOf,
} from "./endpoint-contrast.ts";
export type { Heterogeneity } from "./heterogeneity.ts";
export {
  type EndpointAnswer,
  mainAnswer,
  type PopulationAnswer,
  type PopulationAnswers,
  populationAnswers,
} from "./population-answers.ts";
export { enoughInWords, type PopulationDesign, populationDesign } from "./population-design.ts";
export { type PopulationScore, populationScore } from "./population-score.ts";
export { disjointPopulations, membership, type Population, populationsOf } from "./populations.ts";
