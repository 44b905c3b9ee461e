import { completedAnalyses, recordedOnly } from "../../cohort/analysis/mod.ts";
import { type Analysis, butWith, type Column, type Completion } from "../../cohort/model/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  type ChainResult,
  type ChainWork,
  imputeColumns,
  type ImputedColumns,
  imputedColumns,
  type ImputeOptions,
} from "../chain/mod.ts";
import { setsForIncomplete, setsForMany } from "../pool/mod.ts";
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
  /** What the sets have in the place of missing values; undefined where nothing was imputed. */
  completions?: readonly Completion[];
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
 * The number of sets, where the plan names none, is one for each per cent of incomplete patients;
 * of more than 20,000 patients fewer are made (see {@link setsForMany}), and a note says so.
 * The same study file and cohort give the same sets on any machine. An analysis that has its
 * completed sets with it is not imputed again, unless other sets are asked for.
 *
 * @example
 * ```ts ignore
 * import { acrossSets, completedSets, followUpOf, openAnalysis, survivalDifference, underWeights, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const followUp = followUpOf(analysis, "death");
 * const completed = await completedSets(analysis, study);
 * const weighting = weightedSample(withCompletions(analysis, completed), study);
 * pooledContrasts(underWeights(followUpOf(analysis, "death"), weighting),
 *   (data) => survivalDifference(data, { times: [5] }));
 * ```
 * @param options.method Instead of the study's.
 * @param options.shifts Departures from values missing at random, for {@link tippingPoint}.
 * @param options.chains Chains of the same analysis and plan, kept from before.
 * @throws {DataError} where a covariate that must be known is not, or nobody is complete.
 */
export async function completedSets(
  given: Analysis,
  study: Study,
  options: CompletingOptions = {},
): Promise<CompletedSets> {
  const method = options.method ?? study.missing.method;
  const before = method === "impute" && Object.keys(options).every((name) => name === "method") &&
    given.completions && made.get(given.completions);
  if (before) return before;
  const analysis = recordedOnly(given);
  const missing = incompleteRows(analysis, study);
  const incomplete = shareOf(missing);
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
  const { work, sets, columns, levels, notes } = chainWorkOf(analysis, study, {
    ...options,
    incomplete,
    outcomes: options.chains === undefined,
  });
  const { workers, onProgress } = options;
  const imputed = options.chains
    ? imputedColumns(work, options.chains)
    : await imputeColumns(work.data, {
      ...work,
      sets,
      ...(workers === undefined ? {} : { workers }),
      ...(onProgress ? { onProgress } : {}),
    });
  const changed = columns.filter((name) => imputed.traces[name] !== undefined);
  const completions = imputed.sets.map((set): Completion =>
    Object.fromEntries(changed.map((name) => {
      const { rows, values } = set[name]!;
      return [name, { rows, values: asWritten(analysis.columns[name]!, values, levels[name]) }];
    }))
  );
  const whole: Analysis = butWith(analysis, { completions });
  const completed: CompletedSets = {
    ...one(analysis),
    sets: imputed.sets.length,
    analysis: (k) => completedAnalyses(whole)[k]!,
    completions,
    imputed,
    columns: changed,
    levels,
    notes: [...notes, ...labelsOf(changed, analysis)],
  };
  made.set(completions, completed);
  return completed;
}

/**
 * The chains that impute a study's missing covariates, to be run anywhere, and how many there are.
 *
 * @throws {DataError} where a covariate that must be known is not.
 */
export function chainWorkOf(
  given: Analysis,
  study: Study,
  options: Pick<CompletingOptions, "sets" | "seed" | "iterations" | "shifts"> & {
    /** Share of incomplete patients, where it is at hand. */
    incomplete?: number;
    /** False where the chains have been run. */
    outcomes?: boolean;
  } = {},
): Omit<ReturnType<typeof imputationModel>, "data"> & { work: ChainWork; sets: number } {
  const analysis = recordedOnly(given);
  const incomplete = options.incomplete ?? shareOf(incompleteRows(analysis, study));
  const { outcomes = true } = options;
  const { data, notes, ...model } = imputationModel(analysis, study, options.shifts, { outcomes });
  const asked = Math.max(2, study.missing.sets ?? setsForIncomplete(incomplete));
  const made = setsForMany(asked, analysis.n);
  const fewer = options.sets === undefined && made < asked
    ? [
      `${made} of ${asked} sets asked for were made: of so many patients they leave less to ` +
      "chance than all of them would of fewer.",
    ]
    : [];
  return {
    ...model,
    notes: [...notes, ...fewer],
    sets: Math.max(2, options.sets ?? made),
    work: {
      data,
      seed: options.seed ?? study.seed,
      iterations: options.iterations ?? study.missing.iterations,
      donors: usualDonors,
    },
  };
}

function shareOf(marks: Uint8Array): number {
  return marks.reduce((sum, one) => sum + one, 0) / marks.length;
}

/** How to complete; see {@link completedSets}. */
export type CompletingOptions =
  & Partial<Pick<ImputeOptions, "sets" | "seed" | "workers" | "onProgress" | "iterations">>
  & {
    method?: MissingMethod;
    shifts?: readonly StudyShift[];
    chains?: readonly ChainResult[];
  };

const usualDonors = 5;
const made = new WeakMap<readonly Completion[], CompletedSets>();

/**
 * The analysis with its missing covariates treated as in some completed sets: score, weights and
 * pairs that are made from it are made in each set.
 */
export function withCompletions(analysis: Analysis, completed: CompletedSets): Analysis {
  const { completions } = completed;
  // what was made in its sets need not be made again
  if (completions && completions === analysis.completions) return analysis;
  if (completions) return butWith(analysis, { completions });
  return completed.analysis(0);
}

/** The first of some completed sets: what imputing fewer would have given. */
export function firstSets(completed: CompletedSets, sets = completed.sets): CompletedSets {
  return { ...completed, sets: Math.min(sets, completed.sets) };
}

/** Drawn values as the analysis has them: numbers, or codes of a column of text. */
function asWritten(
  column: Column,
  values: Float64Array,
  levels: string[] | undefined,
): Column {
  return column instanceof Float64Array
    ? values
    : Array.from(values, (value) => levels?.[value] ?? "");
}

function labelsOf(columns: string[], { study }: Analysis): string[] {
  if (columns.length === 0) return ["No value was missing: nothing was imputed."];
  const labels = columns.map((column) =>
    dictionaryColumn("patients", column, study.columns)?.label ?? column
  );
  return [`Imputed: ${labels.map((label) => label.toLowerCase()).join(", ")}.`];
}
