import type { Analysis } from "../../cohort/model/mod.ts";

/** One group's propensity scores, and those of its matched patients: for a figure of overlap. */
export interface ScoreGroup {
  /** Name as readers see it. */
  label: string;
  /** Propensity score of each patient, 0 to 1. */
  score: Float64Array;
  /** Propensity score of each matched patient, 0 to 1. */
  matched: Float64Array;
}

/** The scores of both groups, repair first. */
export function scoreGroups(
  { treated, groups }: Analysis,
  { score }: { score: ArrayLike<number> },
  matched: { weight: ArrayLike<number> },
): [ScoreGroup, ScoreGroup] {
  const group = (label: string, code: number): ScoreGroup => {
    const rows = Array.from(treated.keys()).filter((row) => treated[row] === code);
    const inside = rows.filter((row) => (matched.weight[row] ?? 0) > 0);
    const of = (some: number[]) => Float64Array.from(some, (row) => score[row] ?? NaN);
    return { label, score: of(rows), matched: of(inside) };
  };
  return [group(groups.labels.repair, 1), group(groups.labels.replacement, 0)];
}
