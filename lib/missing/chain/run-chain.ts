import type { SeededRandom } from "../../numerics/mod.ts";
import type { CheckedData } from "./chain-data.ts";
import { drawnValues, drawValues, fillAtRandom, passOn, rowsNow, type Step } from "./complete.ts";
import { predictorsFor, predictorsOf, scalePredictors } from "./predictors.ts";
import { type Variable, variablesOf } from "./variables.ts";

/** What was given to the rows of one column that had no value. */
export interface GivenValues {
  /** Ascending. */
  rows: Int32Array;
  /** One value a row. */
  values: Float64Array;
}

/** Given values after each iteration: of numbers and levels, or 1 for a category's commonest. */
export interface Trace {
  /** Mean of the values drawn in each pass. */
  mean: Float64Array;
  /** Standard deviation. */
  spread: Float64Array;
}

/** One completed set. */
export interface ChainResult {
  /** By name, for every column that had values missing. */
  given: Record<string, GivenValues>;
  /** Means and spreads of what was drawn, by column and iteration. */
  traces: Record<string, Trace>;
}

/**
 * One chain: columns are completed in turn, the one with fewest missing values first and what
 * others depend on before them, each from a model of its known values on all other columns as they
 * now are.
 *
 * Cost: an iteration fits one model a column with missing values, O(n p^2) each.
 *
 * @see van Buuren (2007) Stat Methods Med Res 16:219-242 (conditional models in turn); White,
 * Royston & Wood (2011) Stat Med 30:377-399.
 */
export function runChain(
  data: CheckedData,
  options: { iterations: number; donors: number; random: SeededRandom },
): ChainResult {
  const { iterations, donors, random } = options;
  const variables = variablesOf(data);
  const order = visitingOrder(variables);
  const step: Step = { variables, random, donors, space: [], modes: [] };
  const rows = new Map(order.map((at) => [at, rowsNow(variables[at]!)]));
  // orders between columns are asked for only once both have a value
  for (const at of order) {
    const { value } = variables[at]!;
    for (const i of rows.get(at)!.need) value[i] = NaN;
  }
  const rowsOf = (at: number) => variables[at]!.varies ? rowsNow(variables[at]!) : rows.get(at)!;
  for (const at of order) {
    const own = rowsOf(at);
    fillAtRandom(at, own.need, own.fit, step);
    passOn(at, own.need, step);
  }
  const predictors = predictorsOf(data, variables);
  scalePredictors(predictors, data.n);
  const plans = order.map((at) => ({ at, use: predictorsFor(predictors, variables, at) }));
  const traces = order.map((): Trace => ({
    mean: new Float64Array(iterations),
    spread: new Float64Array(iterations),
  }));
  for (let iteration = 0; iteration < iterations; iteration++) {
    plans.forEach(({ at, use }, k) => {
      const own = rowsOf(at);
      drawValues(at, use, own, step);
      passOn(at, own.need, step);
      trace(variables[at]!, own.need, traces[k]!, iteration);
    });
  }
  const given: ChainResult["given"] = {};
  const named: ChainResult["traces"] = {};
  order.forEach((at, k) => {
    const variable = variables[at]!;
    const { need } = rowsOf(at);
    given[variable.name] = { rows: need, values: drawnValues(variable, need) };
    named[variable.name] = traces[k]!;
  });
  return { given, traces: named };
}

/** Fewest missing first; what a variable depends on before it. */
function visitingOrder(variables: Variable[]): number[] {
  const order: number[] = [];
  const visit = (at: number) => {
    if (order.includes(at)) return;
    const { parent } = variables[at]!;
    if (parent) visit(parent.at);
    if (variables[at]!.missing > 0) order.push(at);
  };
  const places = variables.map((_, at) => at);
  places.sort((a, b) => variables[a]!.missing - variables[b]!.missing || a - b);
  places.forEach(visit);
  return order;
}

function trace(variable: Variable, rows: Int32Array, into: Trace, iteration: number): void {
  const { kind, levels, value, known } = variable;
  let shown = (i: number) => levels.length > 0 ? levels[value[i]!]! : value[i]!;
  if (kind === "category") {
    const counts = new Float64Array(levels.length);
    for (let i = 0; i < known.length; i++) if (known[i]) counts[value[i]!]!++;
    const commonest = counts.indexOf(Math.max(...counts));
    shown = (i) => value[i] === commonest ? 1 : 0;
  }
  let mean = 0;
  for (const i of rows) mean += shown(i) / rows.length;
  let squares = 0;
  for (const i of rows) squares += (shown(i) - mean) ** 2;
  into.mean[iteration] = rows.length > 0 ? mean : NaN;
  into.spread[iteration] = rows.length > 1 ? Math.sqrt(squares / (rows.length - 1)) : NaN;
}
