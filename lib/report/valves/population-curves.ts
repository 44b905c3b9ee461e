import { underWeights } from "../../balance/samples/mod.ts";
import type { AsPlanned } from "../../cohort/mod.ts";
import type { Population, PopulationAnswers } from "../../comparisons/populations/mod.ts";
import type { IncidenceFrame } from "../../figures/mod.ts";
import { type ComparedIncidence, compareIncidence } from "../tables/mod.ts";

/** One population's curves of one endpoint. */
export interface PopulationCurve {
  /** Which population. */
  population: Population;
  /** Of its figure: `valve-failure` for the main population, else with the population's id. */
  figureId: string;
  /** Both groups' curves. */
  compared: ComparedIncidence;
}

/** The weighted curves of one endpoint in each population that has a number. */
export function curvesOf(
  { populations }: PopulationAnswers,
  endpoint: string,
  { labels, horizons, confidence }: Pick<AsPlanned, "labels" | "horizons" | "confidence">,
): PopulationCurve[] {
  return populations.flatMap(({ population, design, endpoints }) => {
    const found = endpoints.find((one) => one.endpoint === endpoint);
    if (!found?.main || !design.sample) return [];
    const data = underWeights(found.followUp, design.sample);
    const compared = compareIncidence(data, { labels, horizons, causes: [1, 2], confidence });
    const figureId = population.main ? endpoint : `${endpoint}-${population.id}`;
    return [{ population, figureId, compared }];
  });
}

/** Which figure has a population's curves. */
export function figuresOf(curves: readonly PopulationCurve[]): Map<string, string> {
  return new Map(curves.map(({ population, figureId }) => [population.id, figureId]));
}

/** The curves of all populations as frames beside each other, the groups named once. */
export function framesOf(
  curves: readonly PopulationCurve[],
): { groups: { label: string }[]; frames: IncidenceFrame[] } {
  return {
    groups: (curves[0]?.compared.groups ?? []).map(({ label }) => ({ label })),
    frames: curves.map(({ population, compared }) => ({
      label: population.label,
      curves: compared.groups.map(({ curve }) => curve),
    })),
  };
}
