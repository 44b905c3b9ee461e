import { levelText } from "../../words/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { PopulationAnswers } from "../../comparisons/populations/mod.ts";
import { publishedPer100, publishedShare } from "../../disclosure/mod.ts";
import { type DisplayTable, type GroupLabels, table, type TableHeading } from "../show/mod.ts";
import { estimatesOf } from "../pair-tables/mod.ts";

/** What heads a table of populations. */
export type PopulationsHeading = TableHeading & {
  labels: GroupLabels;
};

const nothing = {
  repair: null,
  replacement: null,
  difference: null,
  lower: null,
  upper: null,
  drawn: null,
  drawnLower: null,
  drawnUpper: null,
  shrinkage: null,
};

/**
 * Every dated endpoint in every population at the main horizon: both groups, the difference with
 * its limits, and the difference drawn towards those of the other populations with how far
 * it was drawn.
 */
export function populationTable(
  { labels, ...heading }: PopulationsHeading,
  { study }: Analysis,
  { populations, heterogeneity }: PopulationAnswers,
): DisplayTable {
  const drawnOf = (endpoint: string, id: string) => {
    const found = heterogeneity.find((one) => one.endpoint === endpoint);
    const at = found?.together.ids.indexOf(id) ?? -1;
    return found?.together.shrunken[at] ?? found?.against.find((one) => one.id === id)?.shrunken;
  };
  const level = levelText(study.confidence);
  return table({
    ...heading,
    columns: [
      { key: "population", label: "Patients", kind: "text" },
      { key: "endpoint", label: "Outcome", kind: "text" },
      { key: "status", label: "Status", kind: "text" },
      { key: "repair", label: labels.repair, unit: "per 100", kind: "number", digits: 1 },
      { key: "replacement", label: labels.replacement, unit: "per 100", kind: "number", digits: 1 },
      { key: "difference", label: "Difference", unit: "per 100", kind: "number", digits: 1 },
      { key: "lower", label: `${level} from`, kind: "number", digits: 1 },
      { key: "upper", label: "to", kind: "number", digits: 1 },
      { key: "drawn", label: "Drawn towards the others", kind: "number", digits: 1 },
      { key: "drawnLower", label: `${level} from`, kind: "number", digits: 1 },
      { key: "drawnUpper", label: "to", kind: "number", digits: 1 },
      { key: "shrinkage", label: "Drawn by", kind: "percent" },
      { key: "why", label: "Why no number", kind: "text" },
    ],
    rows: populations.flatMap(({ population, endpoints }) =>
      endpoints.map(({ endpoint, label, main, why }) => {
        const name = {
          population: population.label,
          endpoint: endpoint === "death" ? `Alive at ${study.mainHorizon} years` : label,
          status: population.planned ? "planned" : "exploratory",
        };
        if (!main) return { ...nothing, ...name, why };
        const of = estimatesOf(main);
        const drawn = drawnOf(endpoint, population.id);
        return {
          ...nothing,
          ...name,
          repair: publishedPer100(of(1)),
          replacement: publishedPer100(of(0)),
          difference: publishedPer100(main.difference.estimate),
          lower: publishedPer100(main.difference.lower),
          upper: publishedPer100(main.difference.upper),
          ...(drawn
            ? {
              drawn: publishedPer100(drawn.estimate),
              drawnLower: publishedPer100(drawn.lower),
              drawnUpper: publishedPer100(drawn.upper),
              shrinkage: publishedShare(drawn.shrinkage),
            }
            : {}),
          why: "",
        };
      })
    ),
  });
}
