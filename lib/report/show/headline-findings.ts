import type { FindingData, FindingInput } from "../items/mod.ts";

/**
 * The findings the first screen is written from, one an endpoint: of those marked as headline, if
 * any is, the one for the patients that the plan names; else a planned one before an exploratory,
 * an adjusted one before an unadjusted. Death comes first.
 *
 * Findings of a population that is not the plan's main one have their place in the grid. Recurrence
 * is a part of valve failure, and stands for the valve where the run has no finding of that.
 *
 * @param estimand The plan's: whom the answer is about decides which design gives it.
 */
export function headlineFindings<T extends FindingData>(
  findings: readonly T[],
  estimand: FindingInput["estimand"],
): T[] {
  const about = findings.filter(({ population }) => population?.main ?? true);
  const marked = about.filter((finding) => finding.headline);
  const chosen = new Map<string, T>();
  const rank = (finding: T) =>
    (finding.estimand === estimand ? 0 : 20) + (finding.status === "planned" ? 0 : 10) +
    (finding.design === "unadjusted" ? 50 : 0) + (finding.population ? 0 : 1);
  const ranked = [...marked.length > 0 ? marked : about].sort((x, y) => rank(x) - rank(y));
  for (const candidate of ranked) {
    if (!chosen.has(candidate.endpoint)) chosen.set(candidate.endpoint, candidate);
  }
  if (chosen.has("valve-failure")) chosen.delete("recurrence");
  return [...chosen.values()].sort((x, y) =>
    endpointOrder.indexOf(x.endpoint) - endpointOrder.indexOf(y.endpoint)
  );
}

const endpointOrder = ["death", "valve-failure", "recurrence", "reoperation"];
