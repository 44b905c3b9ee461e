import { DataError } from "../../numerics/mod.ts";
import {
  type CovariateInput,
  covariateSchema,
  ownColumnSchema,
  type Rule,
} from "../../study/parts/mod.ts";
import type { OwnColumn } from "../../study/plan/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { dictionaryColumn } from "../dictionary/mod.ts";
import { type Analysis, butWith, type Column, columnsBeside, hasColumn } from "../model/mod.ts";
import { patientsAmong } from "./among.ts";
import type { Frame } from "./frame.ts";
import { ruleHolds } from "./rule-holds.ts";

/** What must be said of a column that was worked out: as in `columns` of the study file. */
export type NotebookColumn = Omit<OwnColumn, "table">;

/**
 * The analysis with columns worked out in a notebook, each declared as the study file would: from
 * then on they are columns like any other, to adjust for, to divide patients by, to describe.
 *
 * A value belongs to the patient whose row number the frame's index has, so that a frame that was
 * sorted or filtered comes back rightly; patients who are no longer in it have no value. NaN and ""
 * are missing. The analysis handed in is not changed.
 *
 * @example
 * ```ts
 * import { frameOf, openAnalysis, withColumns } from "mitral";
 * const { analysis } = await openAnalysis();
 * const frame = await frameOf(analysis, ["lvedd", "lvesd"]);
 * const wide = frame.column("lvedd");
 * const shortening = wide.sub(frame.column("lvesd")).div(wide).mul(100);
 * const wider = withColumns(analysis, frame.addColumn("shortening", shortening), [{
 *   name: "shortening",
 *   label: "Fractional shortening",
 *   type: "number",
 *   unit: "%",
 *   range: [-50, 90],
 *   stage: "pre-operative",
 * }]);
 * ```
 * @param frame From {@link frameOf}, with the new columns in it.
 * @param declared The columns to take from it; others are left.
 * @throws {DataError} on a column that is already there, is not in the frame, is wrongly declared,
 * or has a value that its declaration does not allow.
 */
export function withColumns(
  analysis: Analysis,
  frame: Pick<Frame, "column" | "columns" | "index">,
  declared: readonly NotebookColumn[],
): Analysis {
  const { study } = analysis;
  const added = new Map<string, () => Column>();
  const own: OwnColumn[] = [];
  for (const each of declared) {
    const { name } = each;
    if (
      dictionaryColumn("patients", name, study.columns) || hasColumn(analysis, name) ||
      added.has(name)
    ) {
      throw new DataError("declared", "a column that the cohort does not have yet", name);
    }
    if (!frame.columns.includes(name)) {
      throw new DataError("declared", `a column of the frame: ${frame.columns.join(", ")}`, name);
    }
    const checked = ownColumnSchema.safeParse({ ...each, table: "patients" });
    if (!checked.success) {
      const [{ path, message } = { path: [], message: "not as the study file has it" }] =
        checked.error.issues;
      throw new DataError(`declared.${name}.${path.join(".")}`, message, undefined);
    }
    own.push(checked.data);
    const values = placed(checked.data, frame, analysis.n);
    added.set(name, () => values);
  }
  const columns = columnsBeside(analysis.columns, added);
  return butWith(analysis, {
    columns,
    study: { ...study, columns: [...study.columns, ...own] },
  });
}

/** A frame's column, each value at its patient's row, checked against what was declared. */
function placed(own: OwnColumn, frame: Pick<Frame, "column" | "index">, n: number): Column {
  const { name, codes, type } = own;
  const numeric = type !== "category" && type !== "set";
  const [low, high] = type === "binary" ? [0, 1] : own.range ?? [-Infinity, Infinity];
  const whole = type !== "number";
  const column = numeric ? new Float64Array(n).fill(NaN) : Array<string>(n).fill("");
  const seen = new Set<number>();
  frame.column(name).values.forEach((value, at) => {
    const row = Number(frame.index[at]);
    if (!Number.isInteger(row) || row < 0 || row >= n || seen.has(row)) {
      throw new DataError("frame", `an index of rows from 0 to ${n - 1}, each once`, row, at);
    }
    seen.add(row);
    if (value === "" || value === null || value === undefined || Number.isNaN(value)) return;
    if (column instanceof Float64Array) {
      const fits = typeof value === "number" && value >= low && value <= high &&
        (!whole || Number.isInteger(value));
      if (!fits) {
        throw new DataError(name, `${whole ? "whole, " : ""}from ${low} to ${high}`, value, row);
      }
      column[row] = value;
      return;
    }
    const parts = type === "set" ? String(value).split(";") : [String(value)];
    if (!parts.every((part) => Object.hasOwn(codes ?? {}, part.trim()))) {
      throw new DataError(name, `one of ${Object.keys(codes ?? {}).join(", ")}`, value, row);
    }
    column[row] = String(value);
  });
  return column;
}

/**
 * A study that also adjusts for a column, or adjusts for it in another form.
 *
 * The study file is the plan and stays as it is: what comes of this is exploratory.
 *
 * @example
 * ```ts
 * import { openStudy, withCovariate } from "mitral";
 * const study = withCovariate(await openStudy(), { column: "hypertension", form: "linear" });
 * ```
 * @throws {DataError} on a form that the study file does not know.
 */
export function withCovariate(
  study: Study,
  covariate: CovariateInput,
): Study {
  const checked = covariateSchema.safeParse(covariate);
  if (!checked.success) {
    throw new DataError("covariate", "as the study file has it", covariate.column);
  }
  const others = study.adjustment.covariates.filter(({ column }) => column !== covariate.column);
  return { ...study, adjustment: { ...study.adjustment, covariates: [...others, checked.data] } };
}

/**
 * The patients for whom a rule holds, as an analysis of their own: rules as in the study file, on
 * any column of the analysis. Patients of whom it cannot be told are left out with the others.
 *
 * @example
 * ```ts
 * import { openAnalysis, patientsWhere } from "mitral";
 * const { analysis } = await openAnalysis();
 * const rule = { column: "age", atLeast: 75, source: "common practice, no source" };
 * const old = patientsWhere(analysis, rule, "younger than 75");
 * ```
 * @param otherwise Why the others are left out, for the flow of patients.
 * @throws {DataError} if the file has no such column.
 */
export function patientsWhere(analysis: Analysis, rule: Rule, otherwise: string): Analysis {
  if ("column" in rule && !hasColumn(analysis, rule.column)) {
    throw new DataError("rule", "about a column that the cohort has", rule.column);
  }
  const holds = ruleHolds(analysis, rule, analysis.study);
  const rows = Int32Array.from(holds.keys()).filter((row) => holds[row] === 1);
  return patientsAmong(analysis, rows, { id: "chosen-in-notebook", reason: otherwise });
}
