import { DataError, type SeededRandom } from "../../numerics/mod.ts";
import { donorsOf, drawDonor, drawLevelModel, drawLinear, linear } from "../draw/mod.ts";
import { fillPredictor, type Predictor } from "./predictors.ts";
import { parentHolds, valueAt, type Variable } from "./variables.ts";

/** What drawing values for one variable needs beside it. */
export interface Step {
  variables: Variable[];
  random: SeededRandom;
  donors: number;
  /** Space for predictor columns of the rows a model is fitted to. */
  space: Float64Array[];
  /** Where the last model of each variable ended. */
  modes: (Float64Array | undefined)[];
}

/** Rows with a known value, and rows that need one now. */
export function rowsNow({ known, applies }: Variable): { fit: Int32Array; need: Int32Array } {
  let [all, withValue] = [0, 0];
  for (let i = 0; i < known.length; i++) {
    if (!applies[i]) continue;
    all++;
    if (known[i]) withValue++;
  }
  const fit = new Int32Array(withValue);
  const need = new Int32Array(all - withValue);
  for (let i = 0, f = 0, k = 0; i < known.length; i++) {
    if (!applies[i]) continue;
    if (known[i]) fit[f++] = i;
    else need[k++] = i;
  }
  return { fit, need };
}

// What so many rows leave open of a model is next to nothing beside what one patient's
// value leaves open.
const mostFitted = 50_000;
const atOnce = 1024;

/**
 * Draws a value for each row that needs one from a model of the known values: of 50,000 of them,
 * drawn anew each time and evenly over the rows, where more are known.
 */
export function drawValues(
  at: number,
  predictors: Predictor[],
  { fit: known, need }: { fit: Int32Array; need: Int32Array },
  step: Step,
): void {
  if (need.length === 0) return;
  const variable = step.variables[at]!;
  const fit = known.length > mostFitted
    ? withEveryLevel(evenly(known, mostFitted, step.random), known, variable)
    : known;
  const columnsIn = (rows: Int32Array, from: number, size: number) =>
    predictors.map((predictor, j) => {
      const own = space(step, j, size);
      fillPredictor(predictor, step.variables, { rows, from, size }, own);
      return own;
    });
  const draw = (variable.kind === "number" ? numbersDrawn : levelsDrawn)(
    at,
    columnsIn(fit, 0, fit.length),
    fit,
    step,
  );
  if (!draw) return;
  // some rows at a time: no predictor is held for everybody
  for (let from = 0; from < need.length; from += atOnce) {
    const size = Math.min(atOnce, need.length - from);
    const columns = columnsIn(need, from, size);
    for (let k = 0; k < size; k++) draw(need[from + k]!, columns, k);
  }
}

/** Draws a row's value from the columns that predict it, at a place of theirs. */
type RowDraw = (i: number, columns: Float64Array[], k: number) => void;

/** Some of many rows: one at random out of each of as many equal stretches. */
export function evenly(rows: Int32Array, count: number, random: SeededRandom): Int32Array {
  const stretch = rows.length / count;
  const chosen = new Int32Array(count);
  for (let k = 0; k < count; k++) {
    chosen[k] = rows[Math.min(rows.length - 1, Math.floor((k + random.uniform()) * stretch))]!;
  }
  return chosen;
}

/** Those chosen, and of each level that none of them has the first row that does. */
function withEveryLevel(
  chosen: Int32Array,
  known: Int32Array,
  { kind, levels, value }: Variable,
): Int32Array {
  if (kind === "number") return chosen;
  const lacking = new Set(levels.keys());
  for (const row of chosen) lacking.delete(value[row]!);
  const added: number[] = [];
  for (let k = 0; k < known.length && lacking.size > 0; k++) {
    if (lacking.delete(value[known[k]!]!)) added.push(known[k]!);
  }
  const all = new Int32Array(added.length + chosen.length);
  all.set(added);
  all.set(chosen, added.length);
  return all;
}

function numbersDrawn(
  at: number,
  columns: Float64Array[],
  fit: Int32Array,
  { variables, random, donors: wanted }: Step,
): RowDraw {
  const variable = variables[at]!;
  const known = Float64Array.from(fit, (i) => variable.value[i]!);
  const { estimated, drawn } = drawLinear(known, columns, random);
  // known rows by the estimated coefficients, others by the drawn ones, so that donors vary as the
  // coefficients' uncertainty has it
  const predicted = known.map((_, k) => linear(estimated, 0, columns, k));
  const donors = donorsOf(predicted, known);
  return (i, own, k) => {
    const bounds = boundsOf(variables, variable, i);
    const prediction = linear(drawn, 0, own, k);
    setNumber(variable, i, drawDonor(donors, prediction, wanted, random, bounds?.suits), bounds);
  };
}

function levelsDrawn(
  at: number,
  columns: Float64Array[],
  fit: Int32Array,
  { variables, random, modes }: Step,
): RowDraw | undefined {
  const variable = variables[at]!;
  const top = variable.levels.length - 1;
  if (top === 0) return undefined;
  const level = Int32Array.from(fit, (i) => variable.value[i]!);
  const kind = variable.kind === "number" ? "ordered" : variable.kind;
  const model = drawLevelModel(kind, { level, top, columns }, random, modes[at]);
  modes[at] = model.mode;
  const chances = new Float64Array(top + 1);
  return (i, own, k) => {
    model.chancesOf(own, k, chances, shiftAt(variable, i));
    forbidContradictions(variables, variable, i, chances);
    variable.value[i] = random.choice(chances);
  };
}

/** A value for each row that needs one, drawn from the known ones: where the chain begins. */
export function fillAtRandom(
  at: number,
  rows: Int32Array,
  fit: Int32Array,
  { variables, random }: Pick<Step, "variables" | "random">,
): void {
  const variable = variables[at]!;
  for (const i of rows) {
    if (variable.kind === "number") {
      const bounds = boundsOf(variables, variable, i);
      let value = NaN;
      for (let again = 0; Number.isNaN(value) && again < 100; again++) {
        const other = variable.value[fit[random.integer(fit.length)]!]!;
        if (!bounds || bounds.suits(other)) value = other;
      }
      setNumber(variable, i, value, bounds);
      continue;
    }
    const chances = new Float64Array(variable.levels.length);
    for (let draw = 0; draw < 20; draw++) {
      chances[variable.value[fit[random.integer(fit.length)]!]!]! += 1;
    }
    // a level that contradicts nothing must be there, however rare it is
    for (let k = 0; k < chances.length; k++) chances[k]! += 1e-9;
    forbidContradictions(variables, variable, i, chances);
    variable.value[i] = random.choice(chances);
  }
}

/**
 * After a variable was drawn: whether those that depend on it apply, in the rows drawn, and values
 * at random where they newly do. Returns the variables that changed.
 */
export function passOn(
  at: number,
  rows: Int32Array,
  step: Pick<Step, "variables" | "random">,
): number[] {
  const { variables } = step;
  const changed: number[] = [];
  for (const place of variables[at]!.children) {
    const child = variables[place]!;
    const newly: number[] = [];
    for (const i of rows) {
      const holds = parentHolds(variables, child, i) ? 1 : 0;
      if (holds && !child.applies[i] && !child.known[i]) newly.push(i);
      child.applies[i] = holds;
    }
    if (newly.length > 0) {
      fillAtRandom(place, Int32Array.from(newly), rowsNow(child).fit, step);
    }
    changed.push(place, ...passOn(place, rows, step));
  }
  return changed;
}

/** Takes a drawn value, moved where it is to be; where no known value suited, one that does. */
function setNumber(variable: Variable, i: number, drawn: number, bounds: Bounds | undefined): void {
  const value = Number.isNaN(drawn) ? within(variable, i, bounds!) : drawn;
  const by = shiftAt(variable, i);
  const [least, most] = variable.shift?.within ?? [-Infinity, Infinity];
  const moved = by === 0 ? value : Math.min(most, Math.max(least, value + by));
  variable.value[i] = bounds && !bounds.suits(moved) ? value : moved;
}

function shiftAt({ shift }: Variable, i: number): number {
  return shift && (!shift.rows || shift.rows[i]) ? shift.by : 0;
}

/** Between which values a variable must stay in a row. */
interface Bounds {
  low: number;
  high: number;
  /** Smallest known distance to either. */
  gap: number;
  suits: (value: number) => boolean;
}

/**
 * By the orders between columns, as far as the others have a value; undefined where there are none.
 */
function boundsOf(variables: Variable[], variable: Variable, i: number): Bounds | undefined {
  const { above, below } = variable;
  if (above.length + below.length === 0) return undefined;
  let [low, high, gap] = [-Infinity, Infinity, Infinity];
  const each = (neighbours: typeof above, take: (value: number) => void) => {
    for (const { at, gap: own } of neighbours) {
      const { applies, value } = variables[at]!;
      if (!applies[i] || Number.isNaN(value[i]!)) continue;
      take(value[i]!);
      gap = Math.min(gap, own);
    }
  };
  each(above, (value) => low = Math.max(low, value));
  each(below, (value) => high = Math.min(high, value));
  return { low, high, gap, suits: (value) => value > low && value < high };
}

/** A value between bounds between which none is known. */
function within({ name }: Variable, i: number, { low, high, gap }: Bounds): number {
  if (low < high && gap < Infinity) {
    if (low === -Infinity) return high - gap;
    return high === Infinity ? low + gap : (low + high) / 2;
  }
  throw new DataError(`columns.${name}`, `between what bounds it, ${low} and ${high}`, NaN, i);
}

/**
 * A recorded value of what depends on a variable rules out the levels for which it does not apply.
 */
function forbidContradictions(
  variables: Variable[],
  variable: Variable,
  i: number,
  chances: Float64Array,
): void {
  const total = chances.reduce((sum, chance) => sum + chance, 0);
  let left = total;
  const before = variable.children.length > 0 ? chances.slice() : chances;
  for (const place of variable.children) {
    const child = variables[place]!;
    if (!child.tellsParent || !child.known[i]) continue;
    for (let k = 0; k < chances.length; k++) {
      if (child.parent!.holds(variable.levels[k]!)) continue;
      left -= chances[k]!;
      chances[k] = 0;
    }
  }
  // where every level contradicts something, what is recorded beside it is left to the reader
  if (!(left > 1e-12 * total)) chances.set(before);
}

/** The values as they are written, of rows that needed one. */
export function drawnValues(variable: Variable, rows: Int32Array): Float64Array {
  return Float64Array.from(rows, (i) => valueAt(variable, i));
}

function space({ space: buffers }: Step, j: number, size: number): Float64Array {
  let buffer = buffers[j];
  if (buffer === undefined || buffer.length < size) buffers[j] = buffer = new Float64Array(size);
  return buffer.subarray(0, size);
}
