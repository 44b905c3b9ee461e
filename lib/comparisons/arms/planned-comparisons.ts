import type { Analysis } from "../../cohort/model/mod.ts";
import { DataError, quietly } from "../../numerics/mod.ts";
import type { PlannedComparison } from "../../study/plan/mod.ts";
import { type ArmAnswers, armAnswers } from "./arm-answers.ts";

/** A comparison of the plan with its answers, or why the file does not allow it. */
export interface ComparisonAnswer {
  /** The comparison as the plan has it. */
  comparison: PlannedComparison;
  /** null where nothing can be compared. */
  answers: ArmAnswers | null;
  /** Why nothing could be worked out, as a phrase; empty where something was. */
  why: string;
}

/**
 * Every comparison of techniques in the plan, in its order. One whose rules need a column that the
 * file does not have says so, and leaves the others alone.
 *
 * @example
 * ```ts ignore
 * import { openAnalysis, plannedComparisons } from "mitral";
 * const { analysis } = await openAnalysis();
 * plannedComparisons(analysis).map(({ comparison, why }) => [comparison.label, why]);
 * ```
 */
export function plannedComparisons(analysis: Analysis): ComparisonAnswer[] {
  return analysis.study.comparisons.map((comparison) => {
    try {
      return { comparison, answers: quietly(() => armAnswers(analysis, comparison)), why: "" };
    } catch (problem) {
      if (!(problem instanceof DataError)) throw problem;
      return { comparison, answers: null, why: `the file does not allow it: ${problem.message}` };
    }
  });
}
