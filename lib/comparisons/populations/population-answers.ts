import { type StudyPropensity, studyPropensity } from "../../balance/score/mod.ts";
import { type EndpointFollowUp, followUpOf } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { DataError, quietly } from "../../numerics/mod.ts";
import { type EndpointContrast, endpointContrasts } from "./endpoint-contrast.ts";
import { type Heterogeneity, heterogeneityOf, type MainDifferences } from "./heterogeneity.ts";
import { type PopulationDesign, populationDesign } from "./population-design.ts";
import { disjointPopulations, type Population, populationsOf } from "./populations.ts";

/** One endpoint in one population. */
export interface EndpointAnswer {
  /** Id of the endpoint. */
  endpoint: string;
  /** Name as readers see it. */
  label: string;
  /** Times and events of the population. */
  followUp: EndpointFollowUp;
  /** One a horizon of the plan; empty where the population is not ready for a comparison. */
  contrasts: EndpointContrast[];
  /** At the main horizon; null where there is too little for a number. */
  main: EndpointContrast | null;
  /** Why there is no number, as a phrase; empty where there is one. */
  why: string;
}

/** Every planned endpoint in one population. */
export interface PopulationAnswer {
  /** Which population. */
  population: Population;
  /** How its groups were made alike. */
  design: PopulationDesign;
  /** One an endpoint. */
  endpoints: EndpointAnswer[];
}

/** Every planned endpoint in every population, and whether the answers differ between them. */
export interface PopulationAnswers {
  /** One a population, in the plan's order. */
  populations: PopulationAnswer[];
  /** One an endpoint, at the main horizon. */
  heterogeneity: Heterogeneity[];
}

/**
 * The answer in the population that the plan's main answer is about.
 *
 * @throws {DataError} where there is none.
 */
export function mainAnswer({ populations }: PopulationAnswers): PopulationAnswer {
  const found = populations.find(({ population }) => population.main);
  if (!found) throw new DataError("populations", "one that is the main one", "none");
  return found;
}

/**
 * The main comparison in each population of the plan: score and weights made anew within it, every
 * dated endpoint at every horizon, and whether the difference differs between populations.
 *
 * Death is given as the share alive, any other endpoint as cumulative incidence with its competing
 * events. A population that overlaps others is compared with everybody who is not in it.
 *
 * What a score warns of within a population stays with it, to be shown where its name stands.
 *
 * Cost: a score, weights and a pair of curves an endpoint, in each population.
 *
 * @example
 * ```ts ignore
 * import { openAnalysis, populationAnswers } from "mitral";
 * const { analysis } = await openAnalysis();
 * const { populations } = populationAnswers(analysis);
 * populations.map(({ endpoints }) => endpoints[0].main?.difference.estimate);
 * ```
 * @throws {DataError} as `studyPropensity` and `followUpOf` do.
 */
export function populationAnswers(analysis: Analysis): PopulationAnswers {
  const propensity = studyPropensity(analysis, analysis.study);
  const { horizons, mainHorizon } = analysis.study;
  const answered = (population: Population, times: readonly number[] = horizons) =>
    quietly(() => answerIn(analysis, population, { propensity, times }));
  const populations = populationsOf(analysis).map((one) => answered(one));
  const rest = (population: Population) =>
    // of whom nothing but the test is shown, and their columns are let go
    mainAlone(answered(restOf(population, analysis.n), [mainHorizon]));
  let heterogeneity: Heterogeneity[] | undefined;
  return {
    populations,
    // takes as long as the answers: worked out for whoever asks
    get heterogeneity() {
      return heterogeneity ??= heterogeneityAmong(populations, rest, analysis);
    },
  };
}

/** Whether each endpoint differs between populations that share nobody, and from all others. */
function heterogeneityAmong(
  populations: readonly PopulationAnswer[],
  rest: (population: Population) => MainDifferences,
  { n, study: { confidence } }: Analysis,
): Heterogeneity[] {
  const family = disjointPopulations(populations.map(({ population }) => population), n);
  const members = populations.filter(({ population }) => family.includes(population));
  const others = populations.filter(({ population }) =>
    !family.includes(population) && population.rows.length < n && population.rows.length > 0
  ).map((answer) => ({ answer, rest: rest(answer.population) }));
  return (populations[0]?.endpoints ?? []).map(({ endpoint, label }) =>
    heterogeneityOf({ endpoint, label, members, others }, confidence)
  );
}

function answerIn(
  whole: Analysis,
  population: Population,
  { propensity, times }: { propensity: StudyPropensity; times: readonly number[] },
): PopulationAnswer {
  const { study } = whole;
  const design = populationDesign(whole, population, propensity);
  const dated = study.endpoints.filter(({ event }) => event === undefined || event.day);
  const endpoints = dated.map(({ id }) =>
    endpointAnswer(followUpOf(design.analysis, id), design, { whole, times })
  );
  return { population, design, endpoints };
}

function endpointAnswer(
  followUp: EndpointFollowUp,
  { sample, shortOf }: PopulationDesign,
  { whole, times }: { whole: Analysis; times: readonly number[] },
): EndpointAnswer {
  const { study, groups: { labels } } = whole;
  const { mainHorizon, confidence, enough } = study;
  const { endpoint, label } = followUp;
  const bare = { endpoint, label, followUp, contrasts: [], main: null };
  if (!sample || shortOf.length > 0) return { ...bare, why: shortOf.join("; ") };
  const groups = new Set(followUp.treated);
  if (groups.size < 2) return { ...bare, why: "one group has nobody at risk" };
  const contrasts = endpointContrasts(followUp, sample, { times, confidence })
    .map((contrast) => ({ ...contrast, direction: `${labels.repair} - ${labels.replacement}` }));
  const main = contrasts.find(({ time }) => time === mainHorizon);
  const events = main?.groups.reduce((sum, group) => sum + group.events, 0) ?? 0;
  const why = !main || Number.isNaN(main.difference.estimate)
    ? `nobody is followed for ${mainHorizon} years`
    : events < enough.events.value
    ? "too few events for a number"
    : "";
  return { ...bare, contrasts, main: why ? null : main ?? null, why };
}

function mainAlone({ endpoints }: PopulationAnswer): MainDifferences {
  return { endpoints: endpoints.map(({ endpoint, main }) => ({ endpoint, main })) };
}

function restOf(population: Population, n: number): Population {
  const inside = new Set(population.rows);
  const rows = Int32Array.from({ length: n }, (_, row) => row).filter((row) => !inside.has(row));
  return { ...population, label: `not in: ${population.label}`, rows, undecided: 0 };
}
