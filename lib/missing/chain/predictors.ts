import { splineBend } from "../../regression/models/mod.ts";
import { type CheckedData, derivedValue } from "./chain-data.ts";
import { valueAt, type Variable } from "./variables.ts";

/** One column that models are fitted to: of standard deviation about 1, kept up to date. */
export interface Predictor {
  column: Float64Array;
  /** The variables it is made of. */
  of: number[];
  /** What it is in a row before scaling; undefined where it does not apply. */
  raw: (i: number) => number | undefined;
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
  const add = (of: number[], raw: Predictor["raw"]) => {
    predictors.push({ column: new Float64Array(data.n), of, raw, centre: 0, scale: 1 });
  };
  variables.forEach((variable, at) => {
    const { kind, levels, applies, value } = variable;
    const own = (use: (i: number) => number) => (i: number) => applies[i] ? use(i) : undefined;
    if (kind === "category") {
      for (let k = 1; k < levels.length; k++) add([at], own((i) => value[i] === k ? 1 : 0));
    } else add([at], own((i) => valueAt(variable, i)));
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
    fillPredictor(predictor, n);
  }
}

export function fillPredictor({ column, raw, centre, scale }: Predictor, n: number): void {
  for (let i = 0; i < n; i++) {
    const value = raw(i);
    column[i] = value === undefined ? 0 : (value - centre) * scale;
  }
}

/** Of some rows only: the others stay as they are. */
export function updatePredictor(
  { column, raw, centre, scale }: Predictor,
  rows: ArrayLike<number>,
): void {
  for (let k = 0; k < rows.length; k++) {
    const i = rows[k]!;
    const value = raw(i);
    column[i] = value === undefined ? 0 : (value - centre) * scale;
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
