import { DataError } from "./errors.ts";
import { orderOf, sortedColumn } from "./order.ts";
import { snapTiedTimes } from "./ties.ts";

/** A numeric column: a plain or typed array. */
export type Numbers = ArrayLike<number>;

/** Group, stratum or cluster labels, one a row. */
export type Labels = ArrayLike<string | number>;

/**
 * Follow-up of n subjects (or of n rows (entry, time], for time-dependent covariates).
 *
 * All times in one unit; this project uses years.
 */
export interface FollowUp {
  /** Time of event or censoring, finite, at least 0. */
  time: Numbers;
  /** 0 censored, 1 event; with several causes 1..K. */
  event: Numbers;
  /** Delayed entry: at risk on (entry, time]; entry < time. */
  entry?: Numbers;
  /** Case weight, above 0. */
  weight?: Numbers;
}

/** Validated follow-up, near-ties snapped. The arrays must not be written to. */
export interface FollowUpColumns {
  n: number;
  time: Float64Array;
  event: Int32Array;
  entry: Float64Array | undefined;
  weight: Float64Array | undefined;
  /** Rows by ascending time, stable. Sorted here so that nothing below sorts again. */
  order: Uint32Array;
  /** `time` in that order, so that a walk in time order reads it in sequence. */
  sortedTime: Float64Array;
  /** Rows by ascending entry, where there is delayed entry. */
  entryOrder: Uint32Array | undefined;
}

/** Labels turned into codes 0..k-1 that index `labels`, which ascend. */
export interface GroupColumn {
  codes: Int32Array;
  labels: (string | number)[];
}

interface Bounds {
  /** Exact length the column must have. */
  length?: number;
  /** Smallest value allowed. */
  min?: number;
  /** Largest value allowed. */
  max?: number;
  /** Values must be greater than this. */
  above?: number;
  /** Whether Infinity is allowed (default false). NaN never is. */
  infinite?: boolean;
  integer?: boolean;
}

/**
 * Checks a numeric column and returns it as a Float64Array: the caller's own array if it already
 * is one (do not write to it), a copy otherwise.
 *
 * @throws {DataError} naming the first value out of bounds.
 */
export function numberColumn(name: string, values: Numbers, bounds: Bounds = {}): Float64Array {
  checkLength(name, values, bounds.length);
  const column = values instanceof Float64Array ? values : Float64Array.from(values);
  // finite means within the largest double; both comparisons are false for NaN
  const least = Math.max(bounds.min ?? -Infinity, bounds.infinite ? -Infinity : -Number.MAX_VALUE);
  const most = Math.min(bounds.max ?? Infinity, bounds.infinite ? Infinity : Number.MAX_VALUE);
  const above = bounds.above ?? -Infinity;
  const strict = above > -Infinity || bounds.integer === true;
  for (let i = 0; i < column.length; i++) {
    const x = column[i]!;
    if (x >= least && x <= most) {
      if (!strict || x > above && (!bounds.integer || Number.isInteger(x))) continue;
    }
    throw new DataError(name, describe(bounds), values[i], i);
  }
  return column;
}

/** Checks a column of 0 and 1. @throws {DataError} */
export function binaryColumn(name: string, values: Numbers, length?: number): Uint8Array {
  checkLength(name, values, length);
  const column = new Uint8Array(values.length);
  for (let i = 0; i < column.length; i++) {
    const x = values[i];
    if (x !== 0 && x !== 1) throw new DataError(name, "0 or 1", x, i);
    column[i] = x;
  }
  return column;
}

const FEW = 4;

/**
 * Checks labels and codes them; labels are sorted (numbers by value, strings by code unit, numbers
 * before strings). @throws {DataError} on a label that is neither string nor finite number.
 */
export function groupColumn(name: string, values: Labels, length?: number): GroupColumn {
  checkLength(name, values, length);
  const seen = new Map<string | number, number>();
  const raw = new Int32Array(values.length);
  // most columns have few labels: look among the first few before asking the map
  const few: (string | number)[] = [];
  for (let i = 0; i < raw.length; i++) {
    const label = values[i] as string | number;
    let code: number | undefined = 0;
    while (code < few.length && few[code] !== label) code++;
    if (code < few.length) {
      raw[i] = code;
      continue;
    }
    code = seen.get(label);
    if (code === undefined) {
      if (typeof label !== "string" && !Number.isFinite(label)) {
        throw new DataError(name, "a string or a finite number", label, i);
      }
      code = seen.size;
      seen.set(label, code);
      if (code < FEW) few.push(label);
    }
    raw[i] = code;
  }
  const labels = [...seen.keys()].sort(compareLabels);
  const place = new Int32Array(labels.length);
  labels.forEach((label, position) => place[seen.get(label)!] = position);
  for (let i = 0; i < raw.length; i++) raw[i] = place[raw[i]!]!;
  return { codes: raw, labels };
}

/** Checks covariates: at least one, each finite, each of the given length. @throws {DataError} */
export function covariateColumns(
  covariates: Record<string, Numbers>,
  length: number,
): { names: string[]; columns: Float64Array[] } {
  const names = Object.keys(covariates);
  if (names.length === 0) throw new DataError("covariates", "at least one column");
  const columns = names.map((name) =>
    numberColumn(`covariates.${name}`, covariates[name]!, { length })
  );
  return { names, columns };
}

/**
 * Checks follow-up columns and merges near-tied times (see {@link snapTiedTimes}).
 *
 * @param options.causes Whether event may exceed 1 (default false).
 * @throws {DataError} naming argument, row, value and expectation.
 */
export function followUpColumns(
  data: FollowUp,
  options: { causes?: boolean } = {},
): FollowUpColumns {
  const n = data.time?.length ?? 0;
  if (n === 0) throw new DataError("time", "at least one row");
  const time = numberColumn("time", data.time, { min: 0 });
  checkLength("event", data.event, n);
  const event = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    const code = data.event[i]!;
    if (code !== 0 && code !== 1 && !(options.causes && Number.isInteger(code) && code > 1)) {
      const expected = options.causes ? "0 (censored) or a cause 1, 2, ..." : "0 or 1";
      throw new DataError("event", expected, code, i);
    }
    event[i] = code;
  }
  const entry = data.entry === undefined
    ? undefined
    : numberColumn("entry", data.entry, { length: n });
  if (entry) {
    for (let i = 0; i < n; i++) {
      if (!(entry[i]! < time[i]!)) {
        throw new DataError("entry", `below its time ${time[i]}`, entry[i], i);
      }
    }
  }
  const weight = data.weight === undefined
    ? undefined
    : numberColumn("weight", data.weight, { length: n, above: 0 });
  const ordered = sortedColumn(time);
  const entryOrder = entry && orderOf(entry);
  const snapped = snapTiedTimes(time, ordered, entry, entryOrder);
  const { order, sorted: sortedTime } = ordered;
  return { n, ...snapped, event, weight, order, sortedTime, entryOrder };
}

/** Checks that a column is there and has the length expected. @throws {DataError} */
export function checkLength(name: string, values: ArrayLike<unknown>, length?: number): void {
  if (values === undefined || values === null || typeof values.length !== "number") {
    throw new DataError(name, "a column (an array)", values);
  }
  if (length !== undefined && values.length !== length) {
    throw new DataError(name, `of length ${length}`, values);
  }
}

/** Checks one number option. @throws {DataError} */
export function checkNumber(
  name: string,
  value: number,
  accept: (value: number) => boolean,
  expected: string,
): number {
  if (typeof value !== "number" || !accept(value)) throw new DataError(name, expected, value);
  return value;
}

/** Checks a whole number, at least so large. @throws {DataError} */
export function checkWhole(name: string, value: number, least: number): number {
  return checkNumber(
    name,
    value,
    (v) => Number.isSafeInteger(v) && v >= least,
    `a whole number >= ${least}`,
  );
}

/**
 * Checks a profile: a finite value for each covariate of a model, and no other. @throws {DataError}
 */
export function checkProfile(
  names: readonly string[],
  covariates: Record<string, number>,
): Float64Array {
  for (const name of Object.keys(covariates)) {
    if (!names.includes(name)) {
      throw new DataError(`covariates.${name}`, "a covariate of the model", covariates[name]);
    }
  }
  return Float64Array.from(
    names,
    (name) =>
      checkNumber(`covariates.${name}`, covariates[name]!, Number.isFinite, "a finite number"),
  );
}

/** Checks a confidence level, strictly between 0 and 1 (default 0.95). @throws {DataError} */
export function checkConfidence(confidence = 0.95): number {
  return checkNumber("confidence", confidence, (c) => c > 0 && c < 1, "between 0 and 1");
}

/** Checks a choice among words. @throws {DataError} */
export function checkChoice<T extends string>(name: string, value: T, choices: readonly T[]): T {
  if (!choices.includes(value)) {
    throw new DataError(name, `one of ${choices.map((c) => `"${c}"`).join(", ")}`, value);
  }
  return value;
}

function compareLabels(a: string | number, b: string | number): number {
  if (typeof a === typeof b) return a < b ? -1 : a > b ? 1 : 0;
  return typeof a === "number" ? -1 : 1;
}

function describe(bounds: Bounds): string {
  const kind = bounds.integer ? "an integer" : bounds.infinite ? "a number" : "a finite number";
  const parts: string[] = [];
  if (bounds.above !== undefined) parts.push(`> ${bounds.above}`);
  if (bounds.min !== undefined) parts.push(`>= ${bounds.min}`);
  if (bounds.max !== undefined) parts.push(`<= ${bounds.max}`);
  return parts.length ? `${kind} ${parts.join(" and ")}` : kind;
}
