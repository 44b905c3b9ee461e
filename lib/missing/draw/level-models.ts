import type { SeededRandom } from "../../numerics/mod.ts";
import {
  logistic,
  logisticPass,
  type LogisticRows,
  logisticSums,
  multinomialPass,
  ordinalPass,
} from "../../regression/models/mod.ts";
import { type Mode, posteriorMode } from "./mode.ts";
import { drawAround } from "./random-draws.ts";

/** Rows whose level is known, and the columns it is predicted from, scaled. */
export interface KnownLevels {
  /** 0 .. top, each in at least one row. */
  level: Int32Array;
  top: number;
  columns: Float64Array[];
}

/** Chances of levels 0 .. top from one row's columns, into `chances`. */
export interface LevelModel {
  /** Where the climb ended: the start of the next one. */
  mode: Float64Array;
  chancesOf(columns: Float64Array[], row: number, chances: Float64Array, shift: number): void;
}

/** What the levels of a column are: two, ordered, or neither. */
export type LevelKind = "binary" | "ordered" | "category";

/**
 * A model of levels with its coefficients drawn from their posterior, taken as normal at its mode:
 * logistic for two levels, else cumulative logits for ordered ones and multinomial for the rest.
 *
 * `shift` of `chancesOf` is added to the log odds of the upper level (of every step up, for ordered
 * levels).
 *
 * @see van Buuren (2018) Flexible Imputation of Missing Data, 2nd ed., section 3.6.
 */
export function drawLevelModel(
  kind: LevelKind,
  known: KnownLevels,
  random: SeededRandom,
  start?: Float64Array,
): LevelModel {
  if (known.top === 1) return binaryModel(known, random, start);
  return kind === "ordered"
    ? orderedModel(known, random, start)
    : categoryModel(known, random, start);
}

function binaryModel(
  { level, columns }: KnownLevels,
  random: SeededRandom,
  start?: Float64Array,
): LevelModel {
  const q = columns.length + 1;
  const rows: LogisticRows = {
    n: level.length,
    columns,
    centre: new Float64Array(q - 1),
    scale: new Float64Array(q - 1).fill(1),
    outcome: Uint8Array.from(level),
    weight: undefined,
  };
  const predictor = new Float64Array(level.length);
  const pass = (beta: Float64Array) => {
    const sums = logisticSums(q);
    logisticPass(rows, beta, sums, predictor);
    return sums;
  };
  const mode = posteriorMode(pass, start ?? new Float64Array(q), (j) => j === 0);
  const drawn = drawnFrom(mode, random);
  return {
    mode: mode.beta,
    chancesOf(given, row, chances, shift) {
      const up = logistic(linear(drawn, 0, given, row) + shift);
      chances[0] = 1 - up;
      chances[1] = up;
    },
  };
}

function orderedModel(
  { level, top, columns }: KnownLevels,
  random: SeededRandom,
  start?: Float64Array,
): LevelModel {
  const p = columns.length;
  const rows = {
    n: level.length,
    top,
    level,
    columns,
    centre: new Float64Array(p),
    scale: new Float64Array(p).fill(1),
    weight: undefined,
  };
  const mode = posteriorMode(
    (beta) => ordinalPass(rows, beta),
    start ?? cutsOf(level, top, p),
    (j) => j < top,
  );
  const drawn = drawnFrom(mode, random);
  // a draw may put two cuts the wrong way round: then they are taken in their order
  const cuts = drawn.slice(0, top).sort().reverse();
  const slopes = Float64Array.of(0, ...drawn.subarray(top));
  return {
    mode: mode.beta,
    chancesOf(given, row, chances, shift) {
      const eta = linear(slopes, 0, given, row) + shift;
      let above = 1;
      for (let k = 0; k < top; k++) {
        const next = logistic(cuts[k]! + eta);
        chances[k] = above - next;
        above = next;
      }
      chances[top] = above;
    },
  };
}

function categoryModel(
  known: KnownLevels,
  random: SeededRandom,
  start?: Float64Array,
): LevelModel {
  const { top, columns } = known;
  const q = columns.length + 1;
  const mode = posteriorMode(
    (beta) => multinomialPass(known, beta),
    start ?? new Float64Array(top * q),
    (j) => j % q === 0,
  );
  const drawn = drawnFrom(mode, random);
  return {
    mode: mode.beta,
    chancesOf(given, row, chances) {
      let most = 0;
      chances[0] = 0;
      for (let k = 0; k < top; k++) {
        chances[k + 1] = linear(drawn, k * q, given, row);
        most = Math.max(most, chances[k + 1]!);
      }
      for (let k = 0; k <= top; k++) chances[k] = Math.exp(chances[k]! - most);
    },
  };
}

function drawnFrom({ beta, factor }: Mode, random: SeededRandom): Float64Array {
  return drawAround(beta, factor, random);
}

/** Log odds of each level and those above it, by the levels' own shares; slopes of 0. */
function cutsOf(level: Int32Array, top: number, p: number): Float64Array {
  const counts = new Float64Array(top + 1);
  for (const own of level) counts[own]!++;
  const start = new Float64Array(top + p);
  let above = 0;
  for (let k = top; k >= 1; k--) {
    above += counts[k]!;
    start[k - 1] = Math.log(above / (level.length - above));
  }
  return start;
}

/** Constant and columns of one row, coefficients from `base` on. */
export function linear(
  beta: Float64Array,
  base: number,
  columns: Float64Array[],
  row: number,
): number {
  let eta = beta[base]!;
  for (let j = 0; j < columns.length; j++) eta += beta[base + j + 1]! * columns[j]![row]!;
  return eta;
}
