import { type Analysis, hasColumn } from "../../cohort/model/mod.ts";
import { appliesTo } from "../../cohort/analysis/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isConfounder,
} from "../../cohort/dictionary/mod.ts";
import { followUpOf, ownEvents } from "../../cohort/follow-up/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { ChainColumn, ChainData, ColumnOrder, DerivedColumn, Shift } from "../chain/mod.ts";
import { outcomeColumns } from "./outcome-columns.ts";

/** Columns to complete as numbers, and the way back. */
export interface ImputationModel {
  /** Columns as they are filled in. */
  data: ChainData;
  /** Columns of the analysis that may be completed, as they are named there. */
  columns: string[];
  /** What the codes of a column of text stand for. */
  levels: Record<string, string[]>;
  /** What a reader should know of choices made here. */
  notes: string[];
}

/** A departure from values missing at random; see {@link Shift}. */
export interface StudyShift {
  /** Name of the column. */
  column: string;
  /** How far, in the unit of the column. */
  by: number;
  /** The group it is about; default both. */
  group?: "repair" | "replacement";
}

// Of two diameters of one ventricle the first is the smaller, which the cohort's checks insist on.
const columnOrders: readonly ColumnOrder[] = [{ lower: "lvesd", upper: "lvedd" }];
const treatment = "(group)";

/**
 * What predicts what, by the study's plan: the adjustment covariates in their forms (with the bends
 * of splines and the planned products), the columns of thresholds and those in which partners
 * agree, what the plan names as auxiliary, the group, and every planned endpoint (see
 * {@link outcomeColumns}).
 *
 * Grades are ordered, numbers are matched to known ones, and a column that applies to some patients
 * only is completed for these. Columns known in nobody are left out. Echo visits are not completed.
 *
 * @param options.outcomes Default true; false where the chains have been run, and what predicts is
 * no longer asked for.
 * @throws {DataError} on a column that was not known before the operation, and on values missing in
 * a covariate that the plan wants known for everybody.
 */
export function imputationModel(
  analysis: Analysis,
  study: Study,
  shifts: readonly StudyShift[] = [],
  { outcomes = true }: { outcomes?: boolean } = {},
): ImputationModel {
  const { covariates, interactions } = study.adjustment;
  const wanted = new Set([
    ...covariates.map(({ column }) => column),
    ...study.thresholds.map(({ column }) => column)
      .filter((column) => isPreOperative(analysis, column) && hasColumn(analysis, column)),
    ...study.comparisons.flatMap((one) => one.covariates ?? [])
      .map(({ column }) => column)
      .filter((column) => isPreOperative(analysis, column) && hasColumn(analysis, column)),
    ...study.matching.alike,
    ...study.missing.auxiliary,
  ]);
  const model: ImputationModel = { data: { columns: [] }, columns: [], levels: {}, notes: [] };
  const columns: ChainColumn[] = [];
  for (const name of wanted) {
    const column = chainColumn(analysis, name, model, wanted);
    if (!column) continue;
    const stop = covariates.some((plan) => plan.column === name && plan.missing === "stop");
    if (stop) refuseMissing(name, column, analysis);
    columns.push({ ...column, ...shiftOf(column, shifts, analysis) });
    model.columns.push(name);
  }
  for (const { column } of shifts) {
    if (model.columns.includes(column)) continue;
    throw new DataError("shifts.column", "one of the columns that are completed", column);
  }
  const derived: DerivedColumn[] = [];
  for (const plan of covariates) {
    if (plan.form !== "spline" || !model.columns.includes(plan.column)) continue;
    derived.push({
      name: `${plan.column}: bends`,
      rule: "bends",
      of: [plan.column],
      knots: plan.knots,
    });
  }
  for (const pair of interactions) {
    const kinds = pair.map((own) => columns.find(({ name }) => name === own)?.kind);
    if (kinds.some((kind) => kind === undefined || kind === "category")) {
      model.notes.push(
        `The product of ${pair.join(" and ")} is not among what missing values are predicted from.`,
      );
    } else derived.push({ name: pair.join(" with "), rule: "product", of: pair });
  }
  columns.push({ name: treatment, kind: "binary", values: analysis.treated });
  for (const { id, event: own } of outcomes ? study.endpoints : []) {
    if (own && own.day === undefined) {
      // without a day there is no hazard; an event that nobody or everybody had predicts nothing
      const values = ownEvents(analysis, own);
      if (values.includes(1) && values.includes(0)) {
        columns.push({ name: `(${id}): event`, kind: "binary", values });
      }
      continue;
    }
    const followUp = followUpOf(analysis, id);
    // an endpoint that nobody is known to be at risk of predicts nothing
    if (followUp.rows.length === 0) continue;
    const everybody = followUp.rows.length === analysis.n;
    const { time, event, rows } = followUp;
    const outcome = outcomeColumns(
      `(${id})`,
      { time, event, ...(everybody ? {} : { rows }) },
      analysis.n,
      { group: treatment },
    );
    columns.push(...outcome.columns);
    derived.push(...outcome.derived);
  }
  const names = columns.map(({ name }) => name);
  const orders = columnOrders.filter(({ lower, upper }) =>
    names.includes(lower) && names.includes(upper)
  );
  model.data = { columns, derived, orders };
  return model;
}

function isPreOperative({ study }: Analysis, column: string): boolean {
  const entry = dictionaryColumn("patients", column, study.columns);
  return entry !== undefined && isConfounder(entry);
}

function chainColumn(
  analysis: Analysis,
  name: string,
  model: ImputationModel,
  wanted: ReadonlySet<string>,
): ChainColumn | undefined {
  const entry = dictionaryColumn("patients", name, analysis.study.columns);
  const raw = analysis.columns[name];
  if (!entry || !isConfounder(entry) || !raw || !hasColumn(analysis, name)) {
    throw new DataError("column", "one the cohort has, known before the operation", name);
  }
  const condition = conditionOf(entry, analysis, wanted);
  let values: Float64Array;
  if (raw instanceof Float64Array) values = raw;
  else {
    const levels = (entry.categories ?? []).map(({ code }) => code)
      .filter((code) => raw.includes(code));
    const places = new Map(levels.map((level, code) => [level, code]));
    values = Float64Array.from(raw, (level) => {
      if (level === "") return NaN;
      let place = places.get(level);
      if (place === undefined) places.set(level, place = levels.push(level) - 1);
      return place;
    });
    model.levels[name] = levels;
  }
  const applies = appliesTo(analysis, name);
  if (values.every((value, i) => !applies[i] || Number.isNaN(value))) {
    model.notes.push(`${entry.label} is known in nobody, and is not completed.`);
    return undefined;
  }
  return { name, kind: kindOf(entry), values, ...condition };
}

function kindOf({ type }: DictionaryColumn): ChainColumn["kind"] {
  switch (type) {
    case "binary":
      return "binary";
    case "ordinal":
      return "ordered";
    case "integer":
    case "number":
      return "number";
    default:
      return "category";
  }
}

/** By the column it depends on, where that is completed too; else by whom it now applies to. */
function conditionOf(
  { name, condition }: DictionaryColumn,
  analysis: Analysis,
  wanted: ReadonlySet<string>,
): Pick<ChainColumn, "when" | "applies"> {
  if (!condition) return {};
  const parent = analysis.columns[condition.column];
  if (!wanted.has(condition.column) || !parent || "differsFrom" in condition) {
    return { applies: appliesTo(analysis, name) };
  }
  if ("above" in condition) return { when: { column: condition.column, above: condition.above } };
  if (parent instanceof Float64Array) {
    return { when: { column: condition.column, oneOf: condition.values.map(Number) } };
  }
  const entry = dictionaryColumn("patients", condition.column);
  const levels = (entry?.categories ?? []).map(({ code }) => code)
    .filter((code) => parent.includes(code));
  const oneOf = condition.values.map((value) => levels.indexOf(value)).filter((code) => code >= 0);
  return { when: { column: condition.column, oneOf } };
}

function shiftOf(
  { name, kind }: ChainColumn,
  shifts: readonly StudyShift[],
  analysis: Analysis,
): { shift?: Shift } {
  const own = shifts.find(({ column }) => column === name);
  if (!own) return {};
  const { by, group } = own;
  const hard = dictionaryColumn("patients", name, analysis.study.columns)?.hard;
  const rows = group === undefined
    ? undefined
    : analysis.treated.map((one) => (one === 1) === (group === "repair") ? 1 : 0);
  return {
    shift: {
      by,
      ...(rows ? { rows } : {}),
      ...(kind === "number" && hard ? { within: [hard.min, hard.max] } : {}),
    },
  };
}

/** The cell is named by its place, never by the patient. */
function refuseMissing(name: string, { values }: ChainColumn, analysis: Analysis): void {
  const applies = appliesTo(analysis, name);
  for (let i = 0; i < analysis.n; i++) {
    if (applies[i] && Number.isNaN(values[i])) {
      throw new DataError(name, "known for everybody (the plan says so)", undefined, i);
    }
  }
}
