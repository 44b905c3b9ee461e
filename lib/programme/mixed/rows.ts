import {
  binaryColumn,
  DataError,
  groupColumn,
  type Labels,
  MANY,
  meanOf,
  numberColumn,
  type Numbers,
  spreadOf,
} from "../../numerics/mod.ts";
import { logisticRegression } from "../../regression/models/mod.ts";
import { nearAlike } from "../predictions/mod.ts";
import type { MixedRows } from "./posterior.ts";

/** What `randomInterceptLogistic` needs. */
export interface RandomInterceptData {
  /** 0 or 1, both present. */
  outcome: Numbers;
  /** Which unit (surgeon) each row belongs to; at least two. */
  unit: Labels;
  /** Named columns, each finite; may be left out. */
  covariates?: Record<string, Numbers>;
  /** Log odds known beforehand, added with coefficient 1. */
  offset?: Numbers;
}

/** Checked columns, sorted by unit and scaled, and where to start from. */
export interface PreparedRows {
  rows: MixedRows;
  /** The row, as given, of each sorted one. */
  order: Uint32Array;
  labels: (string | number)[];
  /** Covariates kept. */
  names: string[];
  dropped: string[];
  separated: string[];
  /** From coefficients for scaled columns to those for the columns as given, constant first. */
  back: Float64Array;
  /** Constant, scaled coefficients and a spread of 0. */
  start: Float64Array;
}

/** Checks and prepares the rows of a model with a random intercept. @throws {DataError} */
export function mixedRows(data: RandomInterceptData): PreparedRows {
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  const { codes, labels } = groupColumn("unit", data.unit, n);
  if (labels.length < 2) throw new DataError("unit", "at least two units", labels[0]);
  const offset = data.offset && numberColumn("offset", data.offset, { length: n });
  const events = outcome.reduce((sum, y) => sum + y, 0);
  if (events === 0 || events === n) {
    throw new DataError("outcome", "0 in some rows and 1 in others", outcome[0], 0);
  }
  const { names, columns, dropped, separated, coefficients } = withoutUnits(data, outcome);
  const { order, units } = byUnit(codes, labels.length);
  const q = columns.length + 1;
  const back = new Float64Array(q * q);
  back[0] = 1;
  const start = new Float64Array(q + 1);
  start[0] = coefficients[0]!;
  const scaled = columns.map((column, j) => {
    const [centre, spread] = [meanOf(column), spreadOf(column)];
    back[j + 1] = -centre / spread;
    back[(j + 1) * q + j + 1] = 1 / spread;
    start[0]! += coefficients[j + 1]! * centre;
    start[j + 1] = coefficients[j + 1]! * spread;
    return Float64Array.from(order, (row) => (column[row]! - centre) / spread);
  });
  const each: MixedRows = {
    n,
    columns: scaled,
    outcome: Uint8Array.from(order, (row) => outcome[row]!),
    offset: Float64Array.from(order, (row) => offset ? offset[row]! : 0),
    count: new Float64Array(n).fill(1),
    units,
  };
  // of many rows, those of a unit that are all but alike are taken together
  const rows = n > MANY && scaled.length === 0 ? gathered(each) : each;
  return { rows, order, labels, names, dropped, separated, back, start };
}

/**
 * Rows without covariates, those of one unit and outcome whose offsets lie in the same hundredth of
 * log odds as one with their mean: see `nearAlike`.
 */
export function gathered({ outcome, offset, units }: MixedRows): MixedRows {
  const apart = new Int32Array(offset.length);
  units.forEach(({ first, end }, unit) => {
    for (let i = first; i < end; i++) apart[i] = 2 * unit + outcome[i]!;
  });
  const { code, count, value } = nearAlike(offset, apart);
  const kept = new Uint8Array(count.length);
  code.forEach((place, i) => kept[place] = outcome[i]!);
  let begin = 0;
  const ranges = units.map(({ first, end }) => {
    let last = begin;
    for (let i = first; i < end; i++) last = Math.max(last, code[i]! + 1);
    const range = { first: begin, end: last };
    begin = last;
    return range;
  });
  return { n: count.length, columns: [], outcome: kept, offset: value, count, units: ranges };
}

/** Covariates that can be told apart, and coefficients of a model without units. */
function withoutUnits(data: RandomInterceptData, outcome: Uint8Array): {
  names: string[];
  columns: Float64Array[];
  dropped: string[];
  separated: string[];
  coefficients: number[];
} {
  const given = data.covariates ?? {};
  if (Object.keys(given).length === 0) {
    const share = meanOf(outcome);
    const coefficients = [Math.log(share / (1 - share))];
    return { names: [], columns: [], dropped: [], separated: [], coefficients };
  }
  const fit = logisticRegression({ outcome, covariates: given });
  const { dropped, separated } = fit;
  const names = fit.terms.slice(1).map(({ name }) => name);
  const columns = names.map((name) => Float64Array.from(given[name]!));
  const coefficients = fit.terms.map(({ coefficient }) => fit.converged ? coefficient : 0);
  return { names, columns, dropped, separated, coefficients };
}

/** Rows in the order of their units, by counting. */
function byUnit(codes: Int32Array, units: number): Pick<PreparedRows, "order"> & {
  units: MixedRows["units"];
} {
  const count = new Int32Array(units + 1);
  for (const code of codes) count[code + 1]!++;
  for (let s = 0; s < units; s++) count[s + 1]! += count[s]!;
  const ranges = Array.from(
    { length: units },
    (_, s) => ({ first: count[s]!, end: count[s + 1]! }),
  );
  const order = new Uint32Array(codes.length);
  const next = ranges.map(({ first }) => first);
  codes.forEach((code, i) => order[next[code]!++] = i);
  return { order, units: ranges };
}
