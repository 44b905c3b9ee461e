import type { PrintedCohort, PrintedEstimate } from "../printed/printed-estimates.ts";
import type { SubgroupCohort, TrueSums } from "./subgroup-estimates.ts";

/**
 * The estimates with their truth beside them: repair minus replacement in the patients of all
 * cohorts together, inside a subgroup, outside it, or the one minus the other.
 */
export function withTruth(cohorts: readonly SubgroupCohort[]): PrintedCohort[] {
  const parts = new Map<string, TrueSums>();
  for (const { part, repair, replacement } of cohorts.flatMap(({ sums }) => sums)) {
    const own = parts.get(part) ?? { part, repair: [0, 0], replacement: [0, 0] };
    parts.set(part, {
      part,
      repair: added(own.repair, repair),
      replacement: added(own.replacement, replacement),
    });
  }
  const differenceIn = (part: string) => {
    const { repair, replacement } = parts.get(part)!;
    return repair[1] / repair[0] - replacement[1] / replacement[0];
  };
  const truthOf = ({ quantity, population, of }: PrintedEstimate) => {
    const about = `${quantity}, ${population}`;
    const difference = (side: string) => differenceIn(`${about}, ${side}`);
    return of === "inside - outside"
      ? difference("inside") - difference("outside")
      : difference(of);
  };
  return cohorts.map(({ sums: _, estimates, ...cohort }) => ({
    ...cohort,
    estimates: estimates.map((one) => ({ ...one, own: truthOf(one) })),
  }));
}

function added([a, b]: [number, number], [c, d]: [number, number]): [number, number] {
  return [a + c, b + d];
}
