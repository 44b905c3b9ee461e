import type { Analysis } from "../../cohort/model/mod.ts";
import type { PopulationAnswers } from "../../comparisons/populations/mod.ts";
import type { PopulationBalance } from "../../figures/patients/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import type { PopulationsHeading } from "./population-table.ts";
import { shownEffective } from "./shown-effective.ts";
import { populationSizes } from "./population-sizes.ts";

/**
 * The size of each characteristic's standardised difference in each population, before and after.
 */
export function populationBalanceRows({ populations }: PopulationAnswers): PopulationBalance[] {
  const sizes = (values: readonly (number | null | undefined)[]) =>
    values.flatMap((value) =>
      typeof value === "number" && !Number.isNaN(value) ? [Math.abs(value)] : []
    );
  return populations.flatMap(({ population, design: { balance } }) =>
    balance
      ? [{
        label: population.label,
        before: sizes(balance.rows.map(({ before }) => before)),
        after: sizes(balance.rows.map(({ afterWeighting }) => afterWeighting)),
      }]
      : []
  );
}

/** How each population was made alike: its score, what its patients are worth, what is left. */
export function populationBalanceTable(
  { labels, ...heading }: PopulationsHeading,
  analysis: Analysis,
  { populations }: PopulationAnswers,
): DisplayTable {
  const { smallestCell } = analysis.study;
  const patients = populationSizes(analysis, populations.map(({ population }) => population));
  const worth = (effective: number | undefined) => shownEffective(effective, smallestCell);
  const warned = populations.flatMap(({ population, design: { score } }) =>
    score && score.warnings.length > 0 ? [`${population.label}: ${score.warnings.join(" ")}`] : []
  );
  return table({
    ...heading,
    notes: [...heading.notes ?? [], ...warned],
    columns: [
      { key: "population", label: "Patients", kind: "text" },
      { key: "patients", label: "Number", kind: "number" },
      { key: "score", label: "Score", kind: "text" },
      { key: "repair", label: `${labels.repair}, effective`, kind: "number", digits: 0 },
      { key: "replacement", label: `${labels.replacement}, effective`, kind: "number", digits: 0 },
      { key: "before", label: "Largest difference before", kind: "number", digits: 2 },
      { key: "after", label: "After", kind: "number", digits: 2 },
      { key: "why", label: "Why no comparison", kind: "text" },
    ],
    rows: populations.map(({ population, design }, k) => ({
      population: population.label,
      patients: patients[k]!,
      score: design.score
        ? design.score.made === "anew" ? "fitted anew" : "that of everybody, adapted"
        : "",
      repair: worth(design.sample?.repair.effective),
      replacement: worth(design.sample?.replacement.effective),
      before: design.balance?.largest.before ?? null,
      after: design.balance?.largest.afterWeighting ?? null,
      why: design.shortOf.join("; "),
    })),
  });
}
