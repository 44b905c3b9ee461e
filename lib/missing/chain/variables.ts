import { DataError } from "../../numerics/mod.ts";
import type { LevelKind } from "../draw/mod.ts";
import type { ChainColumn, CheckedData, Shift } from "./chain-data.ts";

/** A column while a chain works on it. */
export interface Variable {
  name: string;
  kind: "number" | LevelKind;
  /** Different values that are known, ascending; empty for numbers. */
  levels: number[];
  /** 1 where the file has a value that can be used. */
  known: Uint8Array;
  /**
   * The value now: numbers as they are, levels as their place. 0 where not applicable. Where
   * nothing is missing it is the column that was given, and is not written to.
   */
  value: Float64Array | Uint8Array;
  /** 1 where the column applies now. */
  applies: Uint8Array;
  /** Whether that can change from one iteration to the next. */
  varies: boolean;
  /** The variable on which it depends, and for which of its values it applies. */
  parent: { at: number; holds: (value: number) => boolean } | undefined;
  children: number[];
  /**
   * Whether a recorded value shows that the column applies: there is none among the rows known to
   * be without it.
   */
  tellsParent: boolean;
  shift: Shift | undefined;
  /** Variables above and below which it must stay, and by how much it does at the least. */
  above: Neighbour[];
  below: Neighbour[];
  /** Rows, anywhere, that may need a value. */
  missing: number;
}

/** Another variable, and the smallest distance to it in rows in which both are known. */
export interface Neighbour {
  at: number;
  gap: number;
}

/**
 * The columns as variables of a chain, values not known left at 0.
 *
 * @throws {DataError} where a column with missing values has nothing known.
 */
export function variablesOf({ n, columns, orders }: CheckedData): Variable[] {
  const place = new Map(columns.map(({ name }, at) => [name, at]));
  return columns.map((column): Variable => {
    const { name, kind, values, when, shift } = column;
    const applies = new Uint8Array(n);
    const known = new Uint8Array(n);
    let recordedElsewhere = false;
    let varies = false;
    const seen = new Set<number>();
    for (let i = 0; i < n; i++) {
      const holds = conditionAt(column, columns, i);
      const recorded = !Number.isNaN(values[i]);
      applies[i] = holds === false ? 0 : 1;
      known[i] = recorded && holds !== false ? 1 : 0;
      if (recorded && holds === false) recordedElsewhere = true;
      if (holds === undefined) varies = true;
      else if (known[i]) seen.add(values[i]!);
    }
    const levels = kind === "number" ? [] : [...seen].sort((a, b) => a - b);
    const codes = new Map(levels.map((level, code) => [level, code]));
    const isWhole = kind === "number" && !known.includes(0);
    const value = isWhole
      ? values
      : kind === "number" || levels.length > 256
      ? new Float64Array(n)
      : new Uint8Array(n);
    let missing = 0;
    for (let i = 0; i < n; i++) {
      if (known[i] && kind !== "number" && !codes.has(values[i]!)) known[i] = 0;
      if (known[i] && isWhole) continue;
      if (known[i]) value[i] = kind === "number" ? values[i]! : codes.get(values[i]!)!;
      else if (applies[i]) missing++;
    }
    if (missing > 0 && seen.size === 0) {
      throw new DataError(`columns.${name}`, "known in at least one row to which it applies");
    }
    const parentAt = when && place.get(when.column);
    return {
      name,
      kind,
      levels,
      known,
      value,
      applies,
      varies,
      parent: when && parentAt !== undefined ? { at: parentAt, holds: holdsOf(when) } : undefined,
      children: columns.flatMap((other, at) => other.when?.column === name ? [at] : []),
      tellsParent: !recordedElsewhere,
      shift,
      above: orders.filter(({ upper }) => upper === name)
        .map(({ lower }) => ({ at: place.get(lower)!, gap: smallestGap(columns, lower, name) })),
      below: orders.filter(({ lower }) => lower === name)
        .map(({ upper }) => ({ at: place.get(upper)!, gap: smallestGap(columns, name, upper) })),
      missing,
    };
  });
}

/** Whether a variable's own value lets one that depends on it apply. */
export function parentHolds(variables: Variable[], child: Variable, i: number): boolean {
  if (!child.parent) return true;
  const parent = variables[child.parent.at]!;
  return parent.applies[i] === 1 && child.parent.holds(valueAt(parent, i));
}

/** The value as it is written in the file. */
export function valueAt({ levels, value }: Variable, i: number): number {
  return levels.length > 0 ? levels[value[i]!]! : value[i]!;
}

/** Whether a column applies to a row: undefined where what it depends on is not known. */
function conditionAt(
  { applies, when }: ChainColumn,
  columns: CheckedData["columns"],
  i: number,
): boolean | undefined {
  if (applies && !applies[i]) return false;
  if (!when) return true;
  const parent = columns.find(({ name }) => name === when.column)!;
  const above = conditionAt(parent, columns, i);
  if (above === false) return false;
  const value = parent.values[i]!;
  if (Number.isNaN(value)) return undefined;
  return above === undefined ? undefined : holdsOf(when)(value);
}

function smallestGap(columns: CheckedData["columns"], lower: string, upper: string): number {
  const [low, high] = [lower, upper].map((own) => columns.find(({ name }) => name === own)!.values);
  let gap = Infinity;
  for (let i = 0; i < low!.length; i++) {
    const distance = high![i]! - low![i]!;
    if (distance > 0) gap = Math.min(gap, distance);
  }
  return gap;
}

function holdsOf(when: NonNullable<ChainColumn["when"]>): (value: number) => boolean {
  if ("above" in when) return (value) => value > when.above;
  const { oneOf } = when;
  return (value) => oneOf.includes(value);
}
