import type { StudyPropensity } from "../../balance/score/mod.ts";
import { followUpOf, reachablePlan } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { armDesign } from "../../comparisons/arms/mod.ts";
import { populationDesign, populationsOf } from "../../comparisons/populations/mod.ts";
import { both, count, type Foretold, unlessRefused } from "./foretold.ts";

/**
 * What the report will be able to show of each population of the plan, and of each
 * comparison of arms.
 *
 * @param propensity The score of everybody, or why there is none.
 */
export function foretellPopulations(
  analysis: Analysis,
  propensity: StudyPropensity | string,
): Foretold[] {
  const { populations, comparisons } = analysis.study;
  if (typeof propensity === "string") return [];
  const all = unlessRefused(() => populationsOf(analysis));
  const { study } = reachablePlan(analysis);
  return [
    ...populations.map(({ id, label }, place): Foretold => {
      const at = { where: `populations[${place}]`, what: `comparison in: ${label}` };
      if (typeof all === "string") return lineOf(at, all);
      const found = unlessRefused(() => {
        const population = all.find((one) => one.id === id)!;
        const { shortOf, analysis: own } = populationDesign(analysis, population, propensity);
        const { repair, replacement } = own.groups.counts;
        const patients = both(analysis, count(repair), count(replacement));
        const { few, dated } = shortOf.length > 0 ? noneAsked : fewEvents(own, study);
        return few.length > 0 && few.length === dated
          ? { patients, shortOf: ["too few events for a number"] }
          : { patients, shortOf, few };
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
  found: string | { shortOf: string[]; patients: string; few?: string[] },
): Foretold {
  if (typeof found === "string") return { ...place, verdict: "absent", found };
  const { shortOf, patients, few = [] } = found;
  if (shortOf.length > 0) {
    return { ...place, verdict: "absent", found: `${patients}: ${shortOf.join("; ")}` };
  }
  return few.length === 0 ? { ...place, verdict: "shown", found: patients } : {
    ...place,
    verdict: "limited",
    found: `${patients}: too few events for a number: ${few.join("; ")}`,
  };
}

const noneAsked = { few: [], dated: 0 };

/** The endpoints of which a population has too few events by the main horizon for a number. */
function fewEvents(
  own: Analysis,
  { endpoints, mainHorizon, enough }: Analysis["study"],
): { few: string[]; dated: number } {
  const dated = endpoints.filter(({ event }) => event === undefined || event.day);
  const few = dated.filter(({ id }) => {
    const { time, event } = followUpOf(own, id);
    const events = event.filter((cause, i) => cause === 1 && time[i]! <= mainHorizon).length;
    return events < enough.events.value;
  });
  return { few: few.map(({ label }) => label), dated: dated.length };
}
