import { studyPropensity } from "../../balance/score/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { armDesign } from "../../comparisons/arms/mod.ts";
import { populationDesign, populationsOf } from "../../comparisons/populations/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import type { Foretold } from "./foretell.ts";

const count = (n: number) => formatNumber(n, { digits: 0 });

/** What the report will be able to show of each population of the plan, and of each comparison of arms. */
export function foretellPopulations(analysis: Analysis): Foretold[] {
  const { populations, comparisons } = analysis.study;
  const propensity = unlessRefused(() => studyPropensity(analysis, analysis.study));
  if (typeof propensity === "string") return [];
  return [
    ...populations.map(({ id, label }, place): Foretold => {
      const at = { where: `populations[${place}]`, what: `comparison in: ${label}` };
      const found = unlessRefused(() => {
        const population = populationsOf(analysis).find((one) => one.id === id)!;
        const { shortOf, analysis: own } = populationDesign(analysis, population, propensity);
        const { repair, replacement } = own.groups.counts;
        const { labels } = analysis.groups;
        return {
          shortOf,
          patients: `${labels.repair} ${count(repair)}, ${labels.replacement} ${
            count(replacement)
          }`,
        };
      });
      return lineOf(at, found);
    }),
    ...comparisons.map((comparison, place): Foretold => {
      const at = { where: `comparisons[${place}]`, what: comparison.label };
      const found = unlessRefused(() => {
        const { shortOf, counts } = armDesign(analysis, comparison);
        const patients = comparison.arms.map(({ id, label }) =>
          `${label} ${count(counts.arm.filter((arm) => arm === id).length)}`
        ).join(", ");
        return { shortOf, patients };
      });
      return lineOf(at, found);
    }),
  ];
}

function lineOf(
  place: Pick<Foretold, "where" | "what">,
  found: string | { shortOf: string[]; patients: string },
): Foretold {
  if (typeof found === "string") return { ...place, verdict: "absent", found };
  const { shortOf, patients } = found;
  return shortOf.length === 0
    ? { ...place, verdict: "shown", found: patients }
    : { ...place, verdict: "absent", found: `${patients}: ${shortOf.join("; ")}` };
}

/** What is worked out, or why these patients do not allow it. */
function unlessRefused<T extends object>(work: () => T): T | string {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    return error.message;
  }
}
