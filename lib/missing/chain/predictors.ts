import { splineBend } from "../../regression/models/mod.ts";
import { type CheckedData, derivedValue } from "./chain-data.ts";
import { valueAt, type Variable } from "./variables.ts";

/**
 * One column that models are fitted to, of standard deviation about 1: worked out from the
 * variables as they now are, in the rows that are asked for.
 */
export interface Predictor {
  /** The variables it is made of. */
  of: number[];
  /** What it is in a row before scaling; undefined where it does not apply. */
  raw: (i: number) => number | undefined;
  /** Where it follows one variable: its value at each level, or the variable's own number. */
  shape?: number[] | "number";
  centre: number;
  scale: number;
}

/**
 * The predictor columns of all variables: numbers and ordered levels as they are, the levels of a
 * category but the first as 0 and 1, columns worked out from others, and for a variable that
 * depends on no category a column that says whether it applies. Where a column does not apply it is
 * at its centre.
 */
export function predictorsOf(data: CheckedData, variables: Variable[]): Predictor[] {
  const predictors: Predictor[] = [];
  const add = (of: number[], raw: Predictor["raw"], shape?: Predictor["shape"]) => {
    predictors.push({ of, raw, ...(shape && { shape }), centre: 0, scale: 1 });
  };
  variables.forEach((variable, at) => {
    const { kind, levels, applies, value } = variable;
    const own = (use: (i: number) => number) => (i: number) => applies[i] ? use(i) : undefined;
    if (kind === "category") {
      for (let k = 1; k < levels.length; k++) {
        add(
          [at],
          own((i) => value[i] === k ? 1 : 0),
          levels.map((_, level) => level === k ? 1 : 0),
        );
      }
    } else add([at], own((i) => valueAt(variable, i)), kind === "number" ? "number" : levels);
    const { parent } = variable;
    if (parent && variables[parent.at]!.kind !== "category" || fixedCondition(data, at)) {
      add([at], (i) => applies[i]!);
    }
  });
  for (const derived of data.derived) {
    const of = derived.of.map((name) => data.columns.findIndex((column) => column.name === name));
    if (derived.rule === "bends") {
      const source = variables[of[0]!]!;
      for (let bend = 1; bend < derived.knots.length - 1; bend++) {
        const bent = splineBend(derived.knots, bend);
        add(of, (i) => source.applies[i] ? bent(valueAt(source, i)) : undefined);
      }
      continue;
    }
    const { rule } = derived;
    const [a, b] = of.map((at) => variables[at]!) as [Variable, Variable];
    add(of, (i) => {
      if (!a.applies[i] || !b.applies[i]) return undefined;
      const value = derivedValue(rule, valueAt(a, i), valueAt(b, i));
      return Number.isFinite(value) ? value : undefined;
    });
  }
  return predictors;
}

/** Centres and scales by the values now there: once, at the start of a chain. */
export function scalePredictors(predictors: Predictor[], n: number): void {
  for (const predictor of predictors) {
    let count = 0;
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < n; i++) {
      const value = predictor.raw(i);
      if (value === undefined) continue;
      count++;
      const before = value - sum / Math.max(1, count - 1);
      sum += value;
      squares += before * (value - sum / count);
    }
    const spread = Math.sqrt(squares / count);
    predictor.centre = count > 0 ? sum / count : 0;
    // a column that says the same of everybody predicts nothing
    predictor.scale = spread > 1e-10 * Math.abs(predictor.centre) ? 1 / spread : 0;
  }
}

/**
 * A predictor in some rows, from a place of theirs on: of what has few values by looking them up.
 */
export function fillPredictor(
  { raw, of, shape, centre, scale }: Predictor,
  variables: Variable[],
  { rows, from, size }: { rows: Int32Array; from: number; size: number },
  into: Float64Array,
): void {
  const { applies, value } = variables[of[0]!]!;
  if (Array.isArray(shape)) {
    const scaled = Float64Array.from(shape, (own) => (own - centre) * scale);
    for (let k = 0; k < size; k++) {
      const i = rows[from + k]!;
      into[k] = applies[i] ? scaled[value[i]!]! : 0;
    }
  } else if (shape === "number") {
    for (let k = 0; k < size; k++) {
      const i = rows[from + k]!;
      into[k] = applies[i] ? (value[i]! - centre) * scale : 0;
    }
  } else {
    for (let k = 0; k < size; k++) {
      const own = raw(rows[from + k]!);
      into[k] = own === undefined ? 0 : (own - centre) * scale;
    }
  }
}

/** Predictors for one variable: none made of it, or of a variable that depends on it. */
export function predictorsFor(
  predictors: Predictor[],
  variables: Variable[],
  at: number,
): Predictor[] {
  const own = new Set([at]);
  const gather = (from: number) => {
    for (const child of variables[from]!.children) {
      own.add(child);
      gather(child);
    }
  };
  gather(at);
  return predictors.filter(({ of, scale }) => scale > 0 && !of.some((source) => own.has(source)));
}

function fixedCondition({ columns }: CheckedData, at: number): boolean {
  const { applies, when } = columns[at]!;
  return applies !== undefined && when === undefined &&
    Array.prototype.some.call(applies, (does: number) => !does);
}
