import type { Analysis } from "../../cohort/model/mod.ts";
import type { PopulationAnswers } from "../../comparisons/populations/mod.ts";
import type { Finding, Note } from "../show/mod.ts";
import { findingOf } from "../tables/mod.ts";

const told = [
  { endpoint: "death", quantity: "alive" },
  { endpoint: "valve-failure", quantity: "valve failure" },
  { endpoint: "reoperation", quantity: "reoperation" },
] as const;

/**
 * The findings of the populations at the main horizon: survival, valve failure and reoperation in
 * each that has a number. Of everybody valve failure alone, since the others have
 * their own notebooks.
 *
 * That of the plan's main population goes onto the first page.
 *
 * @param tableId The table that the numbers stand in.
 * @param figures Of each population the figure with its curves of valve failure, if there is one.
 */
export function populationFindings(
  { study, groups, n }: Analysis,
  { populations }: PopulationAnswers,
  { tableId, figures = new Map() }: { tableId: string; figures?: ReadonlyMap<string, string> },
): (Finding | Note)[] {
  const whole = populations.filter(({ population }) => population.rows.length === n);
  // a population that leaves nobody out in this cohort would say the same again
  const everyone = whole.find(({ population }) => population.main) ?? whole[0];
  return populations.flatMap((answer) =>
    told.flatMap(({ endpoint, quantity }) => {
      const { population, endpoints } = answer;
      const everybody = answer === everyone;
      if (whole.includes(answer) && !(everybody && endpoint === "valve-failure")) return [];
      const main = endpoints.find((one) => one.endpoint === endpoint)?.main;
      if (!main) return [];
      const { id, label } = population;
      const name = population.main ? endpoint : `${endpoint}-${id}`;
      const figureId = endpoint === "valve-failure" ? figures.get(id) : undefined;
      return [findingOf(main, {
        id: everybody ? `${endpoint}-finding` : `${endpoint}-${id}-finding`,
        endpoint,
        quantity,
        ...(everybody ? {} : { population: { id, label, main: population.main } }),
        design: "weighted",
        estimand: study.estimand,
        tableId: endpoint === "valve-failure" && population.main ? `${name}-table` : tableId,
        ...(figureId === undefined ? {} : { figureId }),
        phrases: groups.phrases,
        headline: population.main,
        confidence: study.confidence,
        smallestThatMatters: study.smallestDifference.value,
      })];
    })
  );
}
