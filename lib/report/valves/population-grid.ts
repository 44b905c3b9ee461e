import type { Analysis } from "../../cohort/model/mod.ts";
import type { EndpointAnswer, PopulationAnswers } from "../../comparisons/populations/mod.ts";
import { verdictOfRange } from "../show/mod.ts";
import { comparedPair, type GridCell, noPair } from "../pair-tables/mod.ts";
import { populationSizes } from "./population-sizes.ts";

/**
 * The cells of the first screen's grid: every population of the plan, by survival, the valve and
 * reoperation, as far as the plan has these endpoints.
 *
 * @param figures Of each population the figure with its curves, if there is one.
 */
export function gridOf(
  analysis: Analysis,
  { populations }: PopulationAnswers,
  figures: ReadonlyMap<string, string> = new Map(),
): GridCell[] {
  const { study } = analysis;
  const { mainHorizon: years, confidence } = study;
  const sizes = populationSizes(analysis, populations.map(({ population }) => population));
  return populations.flatMap(({ population, endpoints }, k) =>
    gridEndpoints(endpoints).map(({ endpoint, main, why }): GridCell => {
      const common = {
        population: population.id,
        populationLabel: population.label,
        populationShort: population.shortLabel,
        main: population.main,
        status: population.planned ? "planned" as const : "exploratory" as const,
        patients: sizes[k]!,
        endpoint,
        quantity: quantities[endpoint] ?? endpoint,
        years,
        figureId: figures.get(population.id) ?? "",
      };
      if (!main) {
        return { ...common, ...noPair, verdict: "too-few", why };
      }
      const { lower, upper, pValue } = main.difference;
      return {
        ...common,
        ...comparedPair(main),
        verdict: verdictOfRange({ lower, upper, ...(pValue >= 0 ? { pValue } : {}) }, {
          moreIsBetter: endpoint === "death",
          confidence,
          smallestThatMatters: study.smallestDifference.value,
        }),
        why: "",
      };
    })
  );
}

const quantities: Record<string, string> = {
  death: "Alive",
  "valve-failure": "Valve failure",
  recurrence: "Recurrence found",
  reoperation: "Reoperation",
};

/**
 * Survival, the valve and reoperation; recurrence stands for the valve where the plan
 * has no failure.
 */
function gridEndpoints(endpoints: readonly EndpointAnswer[]): EndpointAnswer[] {
  const of = (id: string) => endpoints.find(({ endpoint }) => endpoint === id);
  const valve = of("valve-failure") ?? of("recurrence");
  return [of("death"), valve, of("reoperation")].filter((one) => one !== undefined);
}
