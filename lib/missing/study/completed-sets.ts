import type { Analysis, Column } from "../../cohort/model/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { imputeColumns, type ImputedColumns, type ImputeOptions } from "../chain/mod.ts";
import { setsForIncomplete } from "../pool/mod.ts";
import { completeCases, incompleteRows } from "./complete-cases.ts";
import { imputationModel, type StudyShift } from "./imputation-model.ts";

/** How missing values are treated. */
export type MissingMethod = Study["missing"]["method"];

/** The patients of an analysis with missing values treated as planned. */
export interface CompletedSets {
  /** Tells it from an analysis with values missing. */
  kind: "completed-sets";
  /** How missing values were treated. */
  method: MissingMethod;
  /** How many analyses there are: several only where values are imputed. */
  sets: number;
  /** Share of patients with a value missing in a covariate of the plan. */
  incomplete: number;
  /** The k-th analysis, from 0: nothing else of it differs from the one that was given. */
  analysis(k: number): Analysis;
  /** What was imputed, for traces and pictures; null where nothing was. */
  imputed: ImputedColumns | null;
  /** Columns that were completed, by name. */
  columns: string[];
  /** What the codes of an imputed column of text stand for. */
  levels: Record<string, string[]>;
  /** What a reader must know beside the numbers, in sentences. */
  notes: string[];
}

/**
 * The analysis with its missing covariates treated as the study plans.
 *
 * - `impute`: completed sets by chained equations, everything later done within each and pooled.
 * - `complete`: one analysis, of the patients with every covariate known.
 * - `mean-and-mark`: one analysis as it is; the score's model gives the mean and a mark.
 *
 * The number of sets, where the plan names none, is one for each per cent of incomplete patients.
 * The same study file and cohort give the same sets on any machine.
 *
 * @example
 * ```ts ignore
 * import { acrossSets, completedSets, followUpOf, openAnalysis, survivalDifference, underWeights, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const followUp = followUpOf(analysis, "death");
 * const completed = await completedSets(analysis, study);
 * const pooled = acrossSets(completed, (set) => survivalDifference(
 *   underWeights(followUp, weightedSample(set, study).weight), { times: [5] }));
 * ```
 * @param options.method Instead of the study's.
 * @param options.shifts Departures from values missing at random, for {@link tippingPoint}.
 * @throws {DataError} where a covariate that must be known is not, or nobody is complete.
 */
export async function completedSets(
  analysis: Analysis,
  study: Study,
  options:
    & Partial<Pick<ImputeOptions, "sets" | "seed" | "workers" | "onProgress" | "iterations">>
    & { method?: MissingMethod; shifts?: readonly StudyShift[] } = {},
): Promise<CompletedSets> {
  const method = options.method ?? study.missing.method;
  const missing = incompleteRows(analysis, study);
  const incomplete = missing.reduce((sum, one) => sum + one, 0) / analysis.n;
  const one = (only: Analysis): CompletedSets => ({
    kind: "completed-sets",
    method,
    sets: 1,
    incomplete,
    analysis: () => only,
    imputed: null,
    columns: [],
    levels: {},
    notes: [],
  });
  if (method === "mean-and-mark") return one(analysis);
  if (method === "complete") return one(completeCases(analysis, missing));
  const { data, columns, levels, notes } = imputationModel(analysis, study, options.shifts);
  const imputed = await imputeColumns(data, {
    sets: Math.max(2, options.sets ?? study.missing.sets ?? setsForIncomplete(incomplete)),
    iterations: options.iterations ?? study.missing.iterations,
    seed: options.seed ?? study.seed,
    ...(options.workers === undefined ? {} : { workers: options.workers }),
    ...(options.onProgress ? { onProgress: options.onProgress } : {}),
  });
  const changed = columns.filter((name) => imputed.traces[name] !== undefined);
  const made = new Map<number, Analysis>();
  return {
    ...one(analysis),
    sets: imputed.sets.length,
    analysis(k) {
      const before = made.get(k);
      if (before) return before;
      const own: Record<string, Column> = {};
      for (const name of changed) {
        const { rows, values } = imputed.sets[k]![name]!;
        own[name] = filledIn(analysis.columns[name]!, rows, values, levels[name]);
      }
      const completed = { ...analysis, columns: { ...analysis.columns, ...own } };
      made.set(k, completed);
      return completed;
    },
    imputed,
    columns: changed,
    levels,
    notes: [...notes, ...labelsOf(changed)],
  };
}

/** The first of some completed sets: what imputing fewer would have given. */
export function firstSets(completed: CompletedSets, sets = completed.sets): CompletedSets {
  return { ...completed, sets: Math.min(sets, completed.sets) };
}

function filledIn(
  column: Column,
  rows: Int32Array,
  values: Float64Array,
  levels: string[] | undefined,
): Column {
  if (column instanceof Float64Array) {
    const filled = column.slice();
    rows.forEach((row, k) => filled[row] = values[k]!);
    return filled;
  }
  const filled = column.slice();
  rows.forEach((row, k) => filled[row] = levels?.[values[k]!] ?? "");
  return filled;
}

function labelsOf(columns: string[]): string[] {
  if (columns.length === 0) return ["No value was missing: nothing was imputed."];
  const labels = columns.map((column) => dictionaryColumn("patients", column)?.label ?? column);
  return [`Imputed: ${labels.map((label) => label.toLowerCase()).join(", ")}.`];
}
