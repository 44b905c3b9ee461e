import { DataError, numberColumn, type Numbers } from "../../numerics/mod.ts";
import type { LevelKind } from "../draw/mod.ts";

/** One column to complete, or to predict others from; all columns have one length n. */
export interface ChainColumn {
  /** Name as the data have it. */
  name: string;
  /**
   * `number`: predictive mean matching; `binary`, `ordered`, `category`: logistic, cumulative and
   * multinomial logistic regression, whatever numbers the levels are written as.
   */
  kind: "number" | LevelKind;
  /** NaN where not known. */
  values: Numbers;
  /** 1 where the column applies, where that is known beforehand; default everywhere. */
  applies?: ArrayLike<number>;
  /** The column applies where another one has one of these values, or one above a number. */
  when?: { column: string; oneOf: readonly number[] } | { column: string; above: number };
  /** Values not known are taken to be other than those known would have them; see {@link Shift}. */
  shift?: Shift;
}

/**
 * A departure from values missing at random: what is drawn is moved by so much before it is used.
 *
 * Numbers are moved in their own unit and kept `within` limits; the log odds of the upper level of
 * two, or of each step up of ordered levels, are raised. Categories cannot be moved.
 */
export interface Shift {
  /** How far, in the unit of the column. */
  by: number;
  /** 1 in the rows it is about; default all. */
  rows?: ArrayLike<number>;
  /** Values are held within these. */
  within?: readonly [min: number, max: number];
}

/**
 * A column worked out from others, kept in step with them: never drawn, used to predict columns
 * that it is not made of. Where it is recorded (`values`) and one of two sources is not, the source
 * is worked out from it.
 */
export type DerivedColumn =
  | {
    name: string;
    rule: "ratio" | "product" | "sum" | "difference";
    of: readonly [string, string];
    values?: Numbers;
  }
  | {
    name: string;
    /** The further columns of a restricted cubic spline. */
    rule: "bends";
    of: readonly [string];
    knots: readonly number[];
  };

/**
 * Everywhere the one column is below the other, such as end-systolic and end-diastolic diameter.
 */
export interface ColumnOrder {
  /** Column that must not be the larger. */
  lower: string;
  /** Column that must not be the smaller. */
  upper: string;
}

/** What {@link imputeColumns} fills in. */
export interface ChainData {
  /** One a column, with values missing or not. */
  columns: readonly ChainColumn[];
  /** Columns worked out from others. */
  derived?: readonly DerivedColumn[];
  /** Columns that must not cross. */
  orders?: readonly ColumnOrder[];
}

/** Columns as the chain takes them: checked, sources worked out from what was derived from them. */
export interface CheckedData {
  n: number;
  columns: readonly (ChainColumn & { values: Float64Array })[];
  derived: readonly DerivedColumn[];
  orders: readonly ColumnOrder[];
}

/**
 * Checks what is to be completed. Cost O(n columns).
 *
 * @throws {DataError} on lengths that differ, names that repeat or are not there, values that are
 * infinite, a column with nothing known, an order between columns that are no numbers.
 */
export function checkChainData(data: ChainData): CheckedData {
  const n = data.columns[0]?.values.length ?? 0;
  if (n === 0) throw new DataError("columns", "at least one column with at least one row");
  const names = new Set<string>();
  const claim = (name: string, argument: string) => {
    if (names.has(name)) throw new DataError(argument, "a name that is not taken", name);
    names.add(name);
  };
  const columns = data.columns.map((column) => {
    const argument = `columns.${column.name}`;
    claim(column.name, argument);
    const values = numberOrUnknown(argument, column.values, n);
    if (column.applies && column.applies.length !== n) {
      throw new DataError(`${argument}.applies`, `of length ${n}`, column.applies);
    }
    if (column.shift) checkShift(`${argument}.shift`, column, n);
    return { ...column, values };
  });
  const kindOf = (name: string) => columns.find((column) => column.name === name)?.kind;
  for (const { name, when } of columns) {
    if (!when) continue;
    const expected = "another column, which depends on no column that depends on this one";
    if (kindOf(when.column) === undefined || dependsOn(columns, when.column, name)) {
      throw new DataError(`columns.${name}.when.column`, expected, when.column);
    }
  }
  for (const derived of data.derived ?? []) {
    claim(derived.name, "derived");
    for (const source of derived.of) {
      if (kindOf(source) === undefined) {
        throw new DataError(`derived.${derived.name}.of`, "names of columns", source);
      }
    }
    if ("values" in derived && derived.values) {
      numberOrUnknown(`derived.${derived.name}`, derived.values, n);
    }
  }
  for (const { lower, upper } of data.orders ?? []) {
    for (const name of [lower, upper]) {
      if (kindOf(name) !== "number") throw new DataError("orders", "of columns of numbers", name);
    }
  }
  const checked = {
    n,
    columns,
    derived: data.derived ?? [],
    orders: data.orders ?? [],
  };
  return { ...checked, columns: withSources(checked) };
}

/** What a derived column is in one row; NaN where a source is not known. */
export function derivedValue(
  rule: "ratio" | "product" | "sum" | "difference",
  a: number,
  b: number,
): number {
  switch (rule) {
    case "ratio":
      return a / b;
    case "product":
      return a * b;
    case "sum":
      return a + b;
    case "difference":
      return a - b;
  }
}

/**
 * Sources that a recorded derived value and the other source fix, filled in; inputs are
 * not written to.
 */
function withSources({ columns, derived }: CheckedData): CheckedData["columns"] {
  const filled = new Map<string, Float64Array>();
  const valuesOf = (name: string) => {
    const own = filled.get(name);
    if (own) return own;
    const copy = columns.find((column) => column.name === name)!.values.slice();
    filled.set(name, copy);
    return copy;
  };
  for (const column of derived) {
    if (column.rule === "bends" || !column.values) continue;
    const { rule, values } = column;
    const [a, b] = [valuesOf(column.of[0]), valuesOf(column.of[1])];
    for (let i = 0; i < values.length; i++) {
      const result = values[i]!;
      if (Number.isNaN(result) || Number.isNaN(a[i]) === Number.isNaN(b[i])) continue;
      if (Number.isNaN(a[i])) {
        if (rule === "product" && b[i] === 0) continue;
        a[i] = rule === "ratio"
          ? result * b[i]!
          : rule === "product"
          ? result / b[i]!
          : rule === "sum"
          ? result - b[i]!
          : result + b[i]!;
      } else {
        if (rule === "ratio" && result === 0 || rule === "product" && a[i] === 0) continue;
        b[i] = rule === "ratio"
          ? a[i]! / result
          : rule === "product"
          ? result / a[i]!
          : rule === "sum"
          ? result - a[i]!
          : a[i]! - result;
      }
    }
  }
  return columns.map((column) => ({ ...column, values: filled.get(column.name) ?? column.values }));
}

function dependsOn(columns: readonly ChainColumn[], from: string, target: string): boolean {
  for (let at: string | undefined = from; at !== undefined;) {
    if (at === target) return true;
    at = columns.find((column) => column.name === at)?.when?.column;
  }
  return false;
}

function numberOrUnknown(argument: string, values: Numbers, n: number): Float64Array {
  if (values.length !== n) throw new DataError(argument, `of length ${n}`, values);
  const column = values instanceof Float64Array ? values : Float64Array.from(values);
  for (let i = 0; i < n; i++) {
    if (Math.abs(column[i]!) === Infinity) {
      throw new DataError(argument, "finite, or NaN where not known", column[i], i);
    }
  }
  return column;
}

function checkShift(argument: string, { kind, shift }: ChainColumn, n: number): void {
  if (kind === "category") {
    throw new DataError(argument, "of a number, of two levels or of ordered ones", kind);
  }
  numberColumn(`${argument}.by`, [shift!.by]);
  if (shift!.rows && shift!.rows.length !== n) {
    throw new DataError(`${argument}.rows`, `of length ${n}`, shift!.rows);
  }
}
