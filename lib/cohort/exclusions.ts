import type { Analysis, Cohort } from "./types.ts";

/** One patient who is not in the analysis, for the list that goes beside a report. */
export interface ExclusionRow {
  /** Pseudonym. */
  id: string;
  /** Row of the patients table, from 1. */
  row: number;
  step: string;
  reason: string;
  /** What was found in the patient's row or visits, where that is the reason; else blank. */
  detail: string;
}

/**
 * Everybody who is not in the analysis, in the cohort's order, with the reason and, where it is an
 * error, what the error is.
 *
 * Rows in the file = rows analysed + rows listed here, which is asserted. Cost O(n + problems).
 *
 * @example
 * ```ts
 * exclusionRows(cohort, analysis).length === cohort.n - analysis.n; // true
 * ```
 */
export function exclusionRows(cohort: Cohort, analysis: Analysis): ExclusionRow[] {
  const errors = new Map<number, Set<string>>();
  for (const { patient, severity, column, message } of cohort.problems) {
    if (severity !== "error" || patient === null) continue;
    const found = errors.get(patient) ?? new Set();
    errors.set(patient, found.add(column === null ? message : `${column}: ${message}`));
  }
  const excluded = new Map(analysis.excluded.map((exclusion) => [exclusion.id, exclusion]));
  const rows: ExclusionRow[] = [];
  cohort.ids.forEach((id, row) => {
    const exclusion = excluded.get(id);
    if (!exclusion) return;
    const { step, reason } = exclusion;
    const detail = step.startsWith("invalid-") ? [...errors.get(row) ?? []].join("; ") : "";
    rows.push({ id, row: row + 1, step, reason, detail });
  });
  if (rows.length + analysis.n !== cohort.n) {
    throw new Error(`${cohort.n} patients read, ${analysis.n} analysed, ${rows.length} listed`);
  }
  return rows;
}
