import { DataError } from "../../numerics/mod.ts";
import { type Analysis, butWith, type Exclusion, type FlowStep } from "../model/mod.ts";
import { analysisOf } from "./eligible.ts";

/**
 * Some of an analysis' patients as an analysis of their own; the others are counted as one more
 * step of the flow, and listed.
 *
 * @param rows Rows of the analysis to keep, ascending.
 * @param options.listed Whether the others are listed, default true: of a population they are still
 * in the analysis, and a million names are no list.
 * @throws {DataError} on rows that do not ascend within the analysis.
 */
export function patientsAmong(
  analysis: Analysis,
  rows: Int32Array,
  step: Pick<FlowStep, "id" | "reason">,
  { listed = true }: { listed?: boolean } = {},
): Analysis {
  rows.forEach((row, k) => {
    if (row <= (rows[k - 1] ?? -1) || row >= analysis.n) {
      throw new DataError("rows", `ascending, from 0 to ${analysis.n - 1}`, row, k);
    }
  });
  const left: Exclusion[] = [];
  for (let row = 0, k = 0; listed && row < analysis.n; row++) {
    if (rows[k] === row) k++;
    else left.push({ id: analysis.ids[row] ?? "", step: step.id, reason: step.reason });
  }
  const { flow, excluded, study } = analysis;
  const among = analysisOf(analysis, study, rows, {
    flow: [...flow, {
      ...step,
      excluded: analysis.n - rows.length,
      remaining: rows.length,
      undecided: 0,
    }],
    excluded: [...excluded, ...left],
  });
  return butWith(among, { rows: rows.map((row) => analysis.rows[row]!) });
}
