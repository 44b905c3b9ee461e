import { quartilesOf } from "../../numerics/mod.ts";
import { dictionaryColumn } from "../dictionary/mod.ts";
import { appliesTo } from "./applies.ts";
import { type Analysis, columnOf } from "../model/mod.ts";

/** The part of a danfojs data frame that notebooks use. */
export interface Frame {
  /** Numbers of rows and columns. */
  readonly shape: [rows: number, columns: number];
  /** Names of the columns, in order. */
  readonly columns: string[];
  /** The values, by column. */
  column(name: string): FrameSeries;
  /** The first rows, 5 unless told. */
  head(rows?: number): Frame;
  /** The last rows, 5 unless told. */
  tail(rows?: number): Frame;
  /** Some rows or columns, by name. */
  loc(selection: { rows?: (string | number | boolean)[]; columns?: string[] }): Frame;
  /** Count, mean, spread and extremes of each column of numbers. */
  describe(): Frame;
  /** Its rows in groups of equal values. */
  groupby(columns: string[]): FrameGroups;
  /** The row numbers that the rows had in the analysis. */
  readonly index: (string | number)[];
  /** A copy with one more column. */
  addColumn(name: string, values: FrameSeries | (string | number)[]): Frame;
  /** A copy in the order of a column. */
  sortValues(column: string, options?: { ascending?: boolean }): Frame;
  /** As text, laid out in columns. */
  toString(): string;
  /** Prints it as text. */
  print(): void;
}

/** One column of a {@link Frame}. */
export interface FrameSeries {
  /** One value a row. */
  readonly values: (string | number)[];
  /** How many values. */
  count(): number;
  /** Mean. */
  mean(): number;
  /** Standard deviation. */
  std(): number;
  /** Smallest value. */
  min(): number;
  /** Median. */
  median(): number;
  /** Largest value. */
  max(): number;
  /** How often each value occurs; the values are its index. */
  valueCounts(): FrameSeries;
  /** Sum, row by row. */
  add(other: FrameSeries | number): FrameSeries;
  /** Difference, row by row. */
  sub(other: FrameSeries | number): FrameSeries;
  /** Product, row by row. */
  mul(other: FrameSeries | number): FrameSeries;
  /** Quotient, row by row. */
  div(other: FrameSeries | number): FrameSeries;
  /** Name of each row. */
  readonly index: (string | number)[];
  /** As text, laid out in columns. */
  toString(): string;
}

/** Rows of a {@link Frame} in groups. */
export interface FrameGroups {
  /** Some columns, to be summarised group by group. */
  col(
    columns: string[],
  ): { mean(): Frame; count(): Frame; sum(): Frame; max(): Frame; min(): Frame };
}

interface Library {
  DataFrame: new (data: Record<string, (string | number)[]>) => Frame;
  Series: new (data: number[]) => FrameSeries;
}

/** One line of {@link summaryOf}: a number's summary, or one code of a category. */
export interface SummaryRow {
  /** Name of the column. */
  column: string;
  /** Name as readers see it. */
  label: string;
  /** Unit of the values; null for codes. */
  unit: string | null;
  /** The code's label; `null` for a column of numbers. */
  level: string | null;
  /** Patients the column applies to. */
  applies: number;
  /** Without a value. */
  missing: number;
  /** With a value; for a category, with this code. */
  n: number;
  /** Mean. */
  mean: number | null;
  /** Standard deviation. */
  sd: number | null;
  /** Smallest value. */
  min: number | null;
  /** Median. */
  median: number | null;
  /** Largest value. */
  max: number | null;
}

/**
 * A danfojs data frame of some columns of an analysis, for looking at data in a notebook; `group`
 * is the patient's group. No pseudonyms are in it. Missing numbers are NaN, which danfojs does not
 * leave out of a mean: for summaries use {@link summaryOf}.
 *
 * The library is loaded on the first call (about half a second).
 *
 * @throws {DataError} if there is no such column.
 */
export async function frameOf(analysis: Analysis, columns: readonly string[]): Promise<Frame> {
  const { labels } = analysis.groups;
  const data: Record<string, (string | number)[]> = {
    group: Array.from(analysis.treated, (one) => one ? labels.repair : labels.replacement),
  };
  for (const name of columns) data[name] = Array.from<string | number>(columnOf(analysis, name));
  const { DataFrame } = await library();
  return new DataFrame(data);
}

/**
 * A summary of some columns: mean, standard deviation, extremes and median of the numbers that are
 * there, counts of each code; beside them how many are missing among those the column applies to.
 *
 * @throws {DataError} if there is no such column.
 */
export async function summaryOf(
  analysis: Analysis,
  columns: readonly string[],
): Promise<SummaryRow[]> {
  const { Series } = await library();
  return columns.flatMap((name): SummaryRow[] => {
    const column = columnOf(analysis, name);
    const entry = dictionaryColumn("patients", name, analysis.study.columns);
    const applies = appliesTo(analysis, name);
    const rows = Array.from(applies.keys()).filter((row) => applies[row]);
    const shared = {
      column: name,
      label: entry?.label ?? name,
      unit: entry?.unit ?? null,
      applies: rows.length,
    };
    if (column instanceof Float64Array) {
      const known = rows.map((row) => column[row] ?? NaN).filter((value) => !Number.isNaN(value));
      const series = known.length ? new Series(known) : null;
      return [{
        ...shared,
        level: null,
        missing: rows.length - known.length,
        n: known.length,
        mean: series?.mean() ?? null,
        sd: series && known.length > 1 ? series.std() : null,
        min: series?.min() ?? null,
        median: series?.median() ?? null,
        max: series?.max() ?? null,
      }];
    }
    const counts = new Map<string, number>();
    for (const row of rows) counts.set(column[row] ?? "", (counts.get(column[row] ?? "") ?? 0) + 1);
    const missing = counts.get("") ?? 0;
    counts.delete("");
    const levels = entry?.categories ??
      [...counts.keys()].sort().map((code) => ({ code, label: code }));
    return levels.map(({ code, label }) => ({
      ...shared,
      level: label,
      missing,
      n: counts.get(code) ?? 0,
      mean: null,
      sd: null,
      min: null,
      median: null,
      max: null,
    }));
  });
}

/** One measurement in the patients of one code of a column. */
export interface MeasuredRow {
  /** Name as readers see it. */
  label: string;
  /** Unit of the values; null for codes. */
  unit: string | null;
  /** Which patients or code the row is about. */
  level: string;
  /** Patients with a value, and their quartiles; NaN where there are none. */
  repair: { n: number; lower: number; median: number; upper: number };
  /** Number, quartiles and median in the replacement group. */
  replacement: { n: number; lower: number; median: number; upper: number };
}

/**
 * Quartiles of measurements by group, for each code of a category: how the groups differ within one
 * mechanism, say. Quartiles interpolate between order statistics (type 7 of Hyndman and Fan).
 *
 * @param columns Columns of numbers.
 * @throws {DataError} if there is no such column.
 */
export async function measuredBy(
  analysis: Analysis,
  by: string,
  columns: readonly string[],
): Promise<MeasuredRow[]> {
  const own = analysis.study.columns;
  const frame = await frameOf(analysis, [by, ...columns]);
  const [codes, groups] = [frame.column(by).values, frame.column("group").values];
  const { labels } = analysis.groups;
  const levels = levelsOf(analysis, by).filter(({ code }) => codes.includes(code));
  return columns.flatMap((name) => {
    const entry = dictionaryColumn("patients", name, own);
    const values = frame.column(name).values.map(Number);
    const of = (code: string, group: string) => {
      const known = values.filter((value, row) =>
        codes[row] === code && groups[row] === group && !Number.isNaN(value)
      );
      return { n: known.length, ...quartilesOf(known) };
    };
    return levels.map(({ code, label: level }): MeasuredRow => ({
      label: entry?.label ?? name,
      unit: entry?.unit ?? null,
      level,
      repair: of(code, labels.repair),
      replacement: of(code, labels.replacement),
    }));
  });
}

/**
 * The commonest code of a category in each group, in words, from a cross-tabulation; `null` where
 * the group has no value. At a tie it is the first of the dictionary's.
 *
 * @throws {DataError} if there is no such column.
 */
export async function commonestIn(
  analysis: Analysis,
  column: string,
): Promise<{ repair: string | null; replacement: string | null }> {
  const frame = (await frameOf(analysis, [column])).addColumn(
    "patients",
    Array<number>(analysis.n).fill(1),
  );
  const counts = frame.groupby([column, "group"]).col(["patients"]).count();
  const of = (name: string) => counts.column(name).values;
  const [codes, groups, patients] = [of(column), of("group"), of("patients_count")];
  const levels = levelsOf(analysis, column);
  const commonest = (group: string): string | null => {
    const size = (code: string) =>
      Number(patients.find((_, i) => codes[i] === code && groups[i] === group) ?? 0);
    const most = Math.max(...levels.map(({ code }) => size(code)));
    return most > 0 ? levels.find(({ code }) => size(code) === most)?.label ?? null : null;
  };
  const { labels } = analysis.groups;
  return { repair: commonest(labels.repair), replacement: commonest(labels.replacement) };
}

/** The codes of a category: the dictionary's, or those in the column. */
function levelsOf(analysis: Analysis, name: string): { code: string; label: string }[] {
  const entry = dictionaryColumn("patients", name, analysis.study.columns);
  const found = new Set(Array.from<string | number>(columnOf(analysis, name)).map(String));
  found.delete("");
  return entry?.categories ?? [...found].sort().map((code) => ({ code, label: code }));
}

async function library(): Promise<Library> {
  return await import("danfojs") as unknown as Library;
}
