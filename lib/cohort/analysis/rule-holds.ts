import type { Rule } from "../../study/parts/mod.ts";
import type { Threshold } from "../../study/plan/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import { dictionaryColumn } from "../dictionary/mod.ts";
import { columnOf, type Columns, textColumn } from "../model/mod.ts";
import { appliesTo } from "./applies.ts";

/** What rules may refer to. */
export type RuleContext = Pick<Study, "thresholds" | "populations" | "columns">;

/** Rows that a rule is asked of. */
interface Rows {
  n: number;
  columns: Columns;
}

/**
 * For whom a rule of the plan holds: 1 or 0, NaN where a missing value leaves it undecided.
 *
 * A column that does not apply to a patient (tethering: secondary regurgitation only) decides
 * against. `all`, `any` and `not` are undecided only where the missing value could change the
 * answer (Kleene's strong three-valued logic). A blank in a column of several codes means
 * none of them.
 *
 * @throws {DataError} if the file has no such column, or an id is not the plan's.
 * @see Kleene (1952) Introduction to Metamathematics, section 64.
 */
export function ruleHolds(rows: Rows, rule: Rule, plan: RuleContext): Float64Array {
  const part = (of: Rule) => ruleHolds(rows, of, plan);
  if ("not" in rule) return part(rule.not).map((holds) => 1 - holds);
  if ("all" in rule) return joined(rows.n, rule.all.map(part), 0);
  if ("any" in rule) return joined(rows.n, rule.any.map(part), 1);
  if ("threshold" in rule) {
    return thresholdRule(rows, named(plan.thresholds, rule.threshold, "threshold"));
  }
  if ("population" in rule) {
    const population = named(plan.populations, rule.population, "population");
    return population.rule ? part(population.rule) : new Float64Array(rows.n).fill(1);
  }
  return columnRule(rows, rule, plan);
}

/** A threshold of the plan, as {@link ruleHolds} gives it. */
function thresholdRule(rows: Rows, { column, side, value }: Threshold): Float64Array {
  const compare = {
    above: (x: number) => x > value,
    "at-least": (x: number) => x >= value,
    below: (x: number) => x < value,
    "at-most": (x: number) => x <= value,
  }[side];
  return decided(rows, column, (x) => typeof x === "number" && compare(x));
}

function columnRule(
  rows: Rows,
  rule: Extract<Rule, { column: string }>,
  plan: RuleContext,
): Float64Array {
  if ("missing" in rule) {
    const applies = appliesTo(rows, rule.column);
    const column = columnOf(rows, rule.column);
    return eachRow(rows, (row) => applies[row] && isBlank(column[row]!) ? 1 : 0);
  }
  if ("oneOf" in rule) {
    const wanted = new Set(rule.oneOf);
    const several = dictionaryColumn("patients", rule.column, plan.columns)?.type === "set";
    if (!several) return decided(rows, rule.column, (value) => wanted.has(value));
    const codes = textColumn(rows, rule.column).map((text) => text.split(";"));
    return eachRow(rows, (row) => codes[row]!.some((code) => wanted.has(code.trim())) ? 1 : 0);
  }
  const { above = -Infinity, atLeast = -Infinity, below = Infinity, atMost = Infinity } = rule;
  const inside = (x: number) => x > above && x >= atLeast && x < below && x <= atMost;
  return decided(rows, rule.column, (x) => typeof x === "number" && inside(x));
}

/** 1 or 0 by the value, NaN where there is none, 0 where the column does not apply. */
function decided(
  rows: Rows,
  column: string,
  holds: (value: string | number) => boolean,
): Float64Array {
  const applies = appliesTo(rows, column);
  const values = columnOf(rows, column);
  return eachRow(rows, (row) => {
    const value = values[row]!;
    if (!applies[row]) return 0;
    if (isBlank(value)) return NaN;
    return holds(value) ? 1 : 0;
  });
}

function eachRow({ n }: { n: number }, of: (row: number) => number): Float64Array {
  return Float64Array.from({ length: n }, (_, row) => of(row));
}

function isBlank(value: string | number): boolean {
  return value === "" || Number.isNaN(value);
}

/** Joins parts, of which one that is `deciding` settles the matter. */
function joined(n: number, parts: Float64Array[], deciding: 0 | 1): Float64Array {
  return eachRow({ n }, (row) => {
    if (parts.some((part) => part[row] === deciding)) return deciding;
    return parts.some((part) => Number.isNaN(part[row])) ? NaN : 1 - deciding;
  });
}

function named<T extends { id: string }>(list: readonly T[], id: string, what: string): T {
  const found = list.find((one) => one.id === id);
  if (!found) throw new DataError(what, `one of ${list.map((one) => one.id).join(", ")}`, id);
  return found;
}
