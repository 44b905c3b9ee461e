import { ruleHolds } from "../../cohort/analysis/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { PlannedComparison } from "../../study/plan/mod.ts";

/** Which arm each patient of a comparison was in. */
export interface ArmRows {
  /** Rows of the analysis that are in an arm, ascending. */
  rows: Int32Array;
  /** Of each of these rows, the arm's id. */
  arm: string[];
  /** Of the population, but in no arm. */
  none: number;
  /** Of the population, but a missing value leaves open whether in an arm. */
  undecided: number;
}

/**
 * Puts each patient of the comparison's population into the first arm whose rule holds. An arm that
 * a missing value leaves open leaves the patient out, since an earlier arm may be the right one.
 *
 * @throws {DataError} if a rule needs a column that the file does not have.
 */
export function armRows(analysis: Analysis, comparison: PlannedComparison): ArmRows {
  const { study, n } = analysis;
  const population = study.populations.find(({ id }) => id === comparison.population);
  const everybody = new Float64Array(n).fill(1);
  const holds = (rule: PlannedComparison["among"]) =>
    rule ? ruleHolds(analysis, rule, study) : everybody;
  const within = holds(population?.rule);
  const among = holds(comparison.among);
  const arms = comparison.arms.map(({ id, rule }) => ({ id, holds: holds(rule) }));
  const found: ArmRows = { rows: new Int32Array(), arm: [], none: 0, undecided: 0 };
  const rows: number[] = [];
  for (let row = 0; row < n; row++) {
    if (within[row] !== 1 || among[row] !== 1) continue;
    const first = arms.find((one) => one.holds[row] !== 0);
    if (!first) found.none++;
    else if (first.holds[row] !== 1) found.undecided++;
    else {
      rows.push(row);
      found.arm.push(first.id);
    }
  }
  return { ...found, rows: Int32Array.from(rows) };
}
