import type { GroupPhrases } from "../../study/plan/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { TableName } from "../dictionary/mod.ts";
import type { FileFormat } from "../file/mod.ts";

/** A column: numbers with NaN for missing, or text with "" for missing. */
export type Column = Float64Array | string[];

/** Columns by their name in the dictionary. Columns the file does not have are not there. */
export type Columns = Readonly<Record<string, Column>>;

/**
 * Echo visits of n patients, by patient and then by day.
 *
 * The visits of patient `i` are those at `offsets[i]` up to, not including, `offsets[i + 1]`.
 */
export interface Visits {
  /** How many. */
  count: number;
  /** Length n + 1. */
  offsets: Int32Array;
  /** Days from operation, ascending within a patient. */
  day: Float64Array;
  /** Regurgitation, grade 0 to 4. */
  mr: Float64Array;
  /** Every other column of the visits table that the file has. */
  columns: Columns;
}

/**
 * How grave a problem is: `structural` stops the run, an `error` costs a patient, a visit or a cell
 * and is listed, a `warning` leaves it in.
 */
export type Severity = "structural" | "error" | "warning";

/** One thing wrong with the cohort's files. */
export interface Problem {
  /** Which table. */
  table: TableName;
  /** Line in the file, the header being line 1; `null` where the problem is the whole column's. */
  line: number | null;
  /** Row of the table, from 0; `null` where the problem is the whole column's or file's. */
  row: number | null;
  /** Row of the patient in the cohort, where known. */
  patient: number | null;
  /** Name of the column; null where no one column is meant. */
  column: string | null;
  /** Which rule was broken: an id that does not change. */
  rule: string;
  /** What the file says; `null` where it could identify somebody. */
  value: string | null;
  /** What it costs. */
  severity: Severity;
  /** What the file calls the column, where it is none of the dictionary's. */
  heading?: string;
  /** What is wrong. */
  message: string;
  /** What to do. */
  remedy: string;
  /** What an error costs: the patient, the visit, or one cell. */
  costs?: "patient" | "visit" | "cell";
  /** Where there are too many of a kind to list: how many more there are of it. */
  unlisted?: number;
}

/** What became of the rows of one file. `rowsRead = rowsKept + rowsSetAside`. */
export interface ReadingLog {
  /** Which table. */
  table: TableName;
  /** The file's name without its folder. */
  file: string;
  /** Rows that the file had. */
  rowsRead: number;
  /** Rows that are used. */
  rowsKept: number;
  /**
   * Rows that an error makes unusable, listed in `problems`: patients without identity, group or
   * follow-up, who are left out at eligibility, and visits without a day or grade.
   */
  rowsSetAside: number;
  /** Cells of used rows, and of others, made missing because what they say cannot be true. */
  cellsBlanked: number;
  /** Cells without a value by column, where there are any: blank, or a code for a missing value. */
  blanks: Readonly<Record<string, number>>;
  /** Of these, cells with a code for a missing value. */
  missingCodes: Readonly<Record<string, number>>;
  /** How the file is written, as stated or found. */
  format: FileFormat | null;
}

/** A cohort as read: every row of the file, the problems found, and what was done about them. */
export interface Cohort {
  /** Patients. */
  n: number;
  /** Pseudonyms, one a row. */
  ids: string[];
  /** Values by column, one a patient. */
  columns: Columns;
  /** The echocardiograms of these patients. */
  visits: Visits;
  /** 1 where identity, group or follow-up of a patient cannot be told. */
  invalid: Uint8Array;
  /** Everything found wrong. */
  problems: Problem[];
  /** What was read of each table. */
  log: ReadingLog[];
}

/** One step of the flow diagram. `excluded + remaining` is the step before's `remaining`. */
export interface FlowStep {
  /** Name that it is referred to by. */
  id: string;
  /** Why, in words. */
  reason: string;
  /** Patients left out at this step. */
  excluded: number;
  /** Patients left after it. */
  remaining: number;
  /** Patients kept although the rule could not be applied, the value being missing. */
  undecided: number;
}

/** One patient who is not in the analysis, and why. */
export interface Exclusion {
  /** Name that it is referred to by. */
  id: string;
  /** The flow step. */
  step: string;
  /** Why, in words. */
  reason: string;
}

/** Intended against final procedure, with the reasons for conversion. */
export interface ProcedureTable {
  /** Counts: intended repair and final repair, and so on. */
  repairRepair: number;
  /** Repair intended, replacement done. */
  repairReplacement: number;
  /** Replacement intended, repair done. */
  replacementRepair: number;
  /** Replacement intended and done. */
  replacementReplacement: number;
  /** Conversions by direction and reason, most frequent first; reason "" is not recorded. */
  conversions: {
    intended: "repair" | "replacement";
    final: "repair" | "replacement";
    reason: string;
    label: string;
    count: number;
  }[];
}

/** What one completed set has in the place of missing values, by column. */
export type Completion = Readonly<Record<string, CompletedCells>>;

/** Cells of a column that were missing, by row of the analysis, ascending. */
export interface CompletedCells {
  /** Row of the analysis, ascending. */
  rows: Int32Array;
  /** What stands in each of them. */
  values: Column;
}

/** The patients of the analysis, in the cohort's order. */
export interface Analysis {
  /** Patients. */
  n: number;
  /** Pseudonyms, one a row. */
  ids: string[];
  /** Their rows in the cohort. */
  rows: Int32Array;
  /** Values by column, one a patient. */
  columns: Columns;
  /**
   * Where the plan has missing covariates imputed: what each completed set has in their place.
   * `columns` keeps what was recorded.
   */
  completions?: readonly Completion[];
  /** 1 = repair, 0 = replacement, taken as the study's `groups.by` says. */
  treated: Uint8Array;
  /** The two groups as a reader sees them; `counts` sum to n. */
  groups: {
    by: "intended" | "final" | "rules";
    labels: { repair: string; replacement: string };
    phrases: GroupPhrases;
    counts: { repair: number; replacement: number };
  };
  /** The echocardiograms of these patients. */
  visits: Visits;
  /** What was intended against what was done. */
  procedures: ProcedureTable;
  /** First step: everybody in the file; last step: everybody in the analysis. */
  flow: FlowStep[];
  /** Who was left out, and why. */
  excluded: Exclusion[];
  /** The plan it was made under. */
  study: Study;
}

/** One patient group's name in results. */
export type Arm = "repair" | "replacement";
