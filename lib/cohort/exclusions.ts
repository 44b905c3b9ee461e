import type { Analysis, Cohort, Problem } from "./model/mod.ts";

/** One patient who is not in the analysis, for the list that goes beside a report. */
export interface ExclusionRow {
  /** Pseudonym. */
  id: string;
  /** Row of the patients table, from 1. */
  row: number;
  /** Step of the selection at which it happened. */
  step: string;
  /** Why, in words. */
  reason: string;
  /**
   * What was found in the patient's row or visits, where that is the reason; else blank. A value is
   * given where it cannot identify anybody.
   */
  detail: string;
}

/**
 * Everybody who is not in the analysis, in the cohort's order, with the reason and, where it is an
 * error, what the error is.
 *
 * Rows in the file = rows analysed + rows listed here, and rows listed = rows excluded at each step
 * of the flow, both of which are asserted. Cost O(n + problems).
 *
 * @example
 * ```ts
 * import { exclusionRows, openAnalysis } from "mitral";
 * const { analysis, cohort } = await openAnalysis();
 * exclusionRows(cohort, analysis).length === cohort.n - analysis.n; // true
 * ```
 */
export function exclusionRows(cohort: Cohort, analysis: Analysis): ExclusionRow[] {
  const errors = new Map<number, Set<string>>();
  const uncounted = new Set<string>();
  for (const problem of cohort.problems.filter(({ costs }) => costs === "patient")) {
    const { patient, unlisted } = problem;
    if (unlisted !== undefined) uncounted.add(found(problem));
    else if (patient !== null) {
      errors.set(patient, (errors.get(patient) ?? new Set()).add(found(problem)));
    }
  }
  const excluded = new Map(analysis.excluded.map((exclusion) => [exclusion.id, exclusion]));
  const rows: ExclusionRow[] = [];
  cohort.ids.forEach((id, row) => {
    const exclusion = excluded.get(id);
    if (!exclusion) return;
    const { step, reason } = exclusion;
    rows.push({ id, row: row + 1, step, reason, detail: detailOf(step, errors.get(row)) });
  });
  if (rows.length + analysis.n !== cohort.n) {
    throw new Error(`${cohort.n} patients read, ${analysis.n} analysed, ${rows.length} listed`);
  }
  const listed = Map.groupBy(rows, ({ step }) => step);
  for (const { id, excluded } of analysis.flow) {
    const count = listed.get(id)?.length ?? 0;
    if (count !== excluded) throw new Error(`${excluded} excluded at ${id}, ${count} listed`);
  }
  return rows;

  function detailOf(step: string, own: ReadonlySet<string> | undefined): string {
    if (step !== "invalid-value") return "";
    if (own) return [...own].join("; ");
    // of a kind found more often than is listed row by row
    return `one of: ${[...uncounted].join("; ")}`;
  }
}

/** A visit that is dropped or a cell made missing, for the list that goes beside a report. */
export interface UnusedRow {
  /** A whole visit or one cell. */
  what: "visit" | "cell";
  /** Pseudonym; "" where the visit is nobody's. */
  id: string;
  /** Line of the file. */
  line: number | null;
  /** What was not used, without a value. */
  detail: string;
}

/** Visits that were dropped and cells that were made missing, in the order of the problems. */
export function unusedRows(cohort: Cohort): UnusedRow[] {
  return cohort.problems.flatMap((problem): UnusedRow[] => {
    const { costs, patient, line } = problem;
    if (costs !== "visit" && costs !== "cell") return [];
    const id = patient === null ? "" : cohort.ids[patient] ?? "";
    return [{ what: costs, id, line, detail: found(problem) }];
  });
}

function found({ table, line, column, value, message }: Problem): string {
  const visit = table === "patients" ? [] : [line === null ? "a visit" : `visit on line ${line}`];
  const where = [...visit, ...(column === null ? [] : [column])].join(", ");
  return `${where && `${where}: `}${message}${value === null ? "" : ` (found ${value})`}`;
}
