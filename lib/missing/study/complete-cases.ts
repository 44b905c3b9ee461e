import type { Analysis } from "../../cohort/model/mod.ts";
import { appliesTo, patientsAmong } from "../../cohort/analysis/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";

/**
 * 1 for a patient with a value missing in a covariate of the plan that applies to them. A covariate
 * known in nobody is left out of the score's model, and makes nobody incomplete.
 */
export function incompleteRows(analysis: Analysis, study: Study): Uint8Array {
  const incomplete = new Uint8Array(analysis.n);
  for (const { column } of study.adjustment.covariates) {
    const values = analysis.columns[column];
    if (!values) throw new DataError("column", "one the cohort has", column);
    const applies = appliesTo(analysis, column);
    const lacks = (i: number) => values[i] === "" || Number.isNaN(values[i]);
    if (applies.every((does, i) => !does || lacks(i))) continue;
    for (let i = 0; i < analysis.n; i++) if (applies[i] && lacks(i)) incomplete[i] = 1;
  }
  return incomplete;
}

/**
 * The analysis of those with nothing missing, the others counted as a step of the flow.
 *
 * @throws {DataError} if nobody is complete.
 */
export function completeCases(analysis: Analysis, incomplete: Uint8Array): Analysis {
  const rows = Int32Array.from({ length: analysis.n }, (_, i) => i).filter((i) => !incomplete[i]);
  if (rows.length === 0) {
    throw new DataError("missing.method", 'one that leaves patients, such as "impute"', "complete");
  }
  return patientsAmong(analysis, rows, {
    id: "incomplete",
    reason: "a covariate of the plan missing",
  });
}
