import { checkChoice, DataError } from "../../../numerics/mod.ts";
import { type CoxFit, type CoxState, scoreResiduals, stateOf, tableOf } from "../model/mod.ts";
import { exposure } from "../rows/mod.ts";

/** One residual a row of the data. */
export interface RowResiduals {
  /** Which residuals. */
  kind: "martingale" | "deviance";
  /** One value a row. */
  values: Float64Array;
}

/** One residual a row of the data and covariate. */
export interface CovariateResiduals {
  /** Which residuals. */
  kind: "score" | "dfbeta";
  /** By covariate name (those that were not dropped), each of length n. */
  columns: Record<string, Float64Array>;
}

/** One residual an event and covariate, by stratum and then by time. */
export interface EventResiduals {
  /** Which residuals. */
  kind: "schoenfeld" | "scaled-schoenfeld";
  /** Times, in the unit given. */
  time: Float64Array;
  /** Row of the data that had the event. */
  row: Int32Array;
  /** One value an event, by covariate. */
  columns: Record<string, Float64Array>;
}

/**
 * Residuals of a Cox fit. Only `dfbeta` carries the case weight.
 *
 * - `martingale`: events less expected events; over a patient's rows they add up.
 * - `deviance`: sign(M) sqrt(-2 (M + d log(d - M))), M martingale and d 0 or 1: nearly symmetric.
 * - `score`: the row's share of the score vector (its weighted sum is 0 at the estimate).
 * - `dfbeta`: weight * score * model covariance: how far the row moves each coefficient. Summed
 *   within clusters, their products are the robust covariance.
 * - `schoenfeld`: covariates of each death less their mean over the risk set (Efron: averaged over
 *   the removal of the tied deaths).
 * - `scaled-schoenfeld`: coefficient + events * covariance * schoenfeld; its trend over time is
 *   that of the coefficient.
 *
 * Fits with exact ties have martingale and deviance residuals only (by Breslow's increments).
 * Cost O(n p); units per unit of the covariate.
 *
 * @example
 * ```ts
 * import { coxRegression, coxResiduals } from "mitral";
 * const data = { time: [1, 2, 3, 4, 5, 6], event: [1, 1, 0, 1, 1, 0] };
 * const fit = coxRegression({ ...data, covariates: { age: [70, 58, 66, 61, 72, 64] } });
 * const { values } = coxResiduals(fit, "martingale");
 * ```
 * @throws {DataError} For anything but a fit, and for kinds that exact ties do not have.
 * @see Therneau, Grambsch & Fleming (1990) Biometrika 77:147-160; Schoenfeld (1982) Biometrika
 * 69:239-241; Grambsch & Therneau (1994) Biometrika 81:515-526.
 */
export function coxResiduals(fit: CoxFit, kind: "martingale" | "deviance"): RowResiduals;
/** Residuals of each row and covariate. */
export function coxResiduals(fit: CoxFit, kind: "score" | "dfbeta"): CovariateResiduals;
/** Residuals of each event and covariate. */
export function coxResiduals(
  fit: CoxFit,
  kind: "schoenfeld" | "scaled-schoenfeld",
): EventResiduals;
export function coxResiduals(
  fit: CoxFit,
  kind: (RowResiduals | CovariateResiduals | EventResiduals)["kind"],
): RowResiduals | CovariateResiduals | EventResiduals {
  checkChoice("kind", kind, [
    "martingale",
    "deviance",
    "score",
    "dfbeta",
    "schoenfeld",
    "scaled-schoenfeld",
  ]);
  const state = stateOf(fit);
  if (kind === "martingale" || kind === "deviance") {
    const values = martingale(state);
    if (kind === "deviance") toDeviance(values, state.follow.event);
    return { kind, values };
  }
  refuseExact(state, kind);
  if (kind === "score" || kind === "dfbeta") return { kind, columns: rowColumns(state, kind) };
  return eventResiduals(state, kind);
}

/** Schoenfeld residuals of the scaled covariates, events x p, by place of the event. */
export function schoenfeldRows(state: CoxState): { place: Int32Array; rows: Float64Array } {
  const { design } = state;
  const { p, x, groupStart, groupDeaths } = design;
  const { mean } = tableOf(state);
  const events = groupDeaths.reduce((sum, deaths) => sum + deaths, 0);
  const place = new Int32Array(events);
  const rows = new Float64Array(events * p);
  let e = 0;
  for (let k = 0; k < design.groups; k++) {
    for (let i = groupStart[k]!; i < groupStart[k]! + groupDeaths[k]!; i++, e++) {
      place[e] = i;
      for (let j = 0; j < p; j++) rows[e * p + j] = x[i * p + j]! - mean[k * p + j]!;
    }
  }
  return { place, rows };
}

/** Partial derivatives by risk set do not describe the exact likelihood. */
export function refuseExact(state: CoxState, what: string): void {
  if (state.ties === "exact") {
    throw new DataError("fit", `one with ties "efron" or "breslow" for ${what}`, state.ties);
  }
}

function martingale(state: CoxState): Float64Array {
  const { design, follow } = state;
  const { sets } = tableOf(state);
  const expected = new Float64Array(design.n);
  exposure(design, sets, sets.hazard, sets.spared, expected);
  const values = new Float64Array(design.n);
  for (let i = 0; i < design.n; i++) {
    const row = design.rowAt[i]!;
    const w = design.weight ? design.weight[i]! : 1;
    values[row] = follow.event[row]! - expected[i]! / w;
  }
  return values;
}

function toDeviance(values: Float64Array, event: Int32Array): void {
  for (let i = 0; i < values.length; i++) {
    const m = values[i]!;
    const d = event[i]!;
    const inside = m + (d === 0 ? 0 : Math.log(d - m));
    values[i] = Math.sign(m) * Math.sqrt(Math.max(0, -2 * inside));
  }
}

function rowColumns(state: CoxState, kind: "score" | "dfbeta"): Record<string, Float64Array> {
  const { design, covariance } = state;
  const { p, scale, rowAt, weight } = design;
  const columns = emptyColumns(state, design.n);
  scoreResiduals(design, tableOf(state), (place, residual) => {
    const row = rowAt[place]!;
    const w = weight ? weight[place]! : 1;
    for (let j = 0; j < p; j++) {
      columns[j]![row] = kind === "score"
        ? residual[j]! * scale[j]!
        : w * product(covariance, residual, 0, j, p) / scale[j]!;
    }
  });
  return named(state, columns);
}

function eventResiduals(
  state: CoxState,
  kind: "schoenfeld" | "scaled-schoenfeld",
): EventResiduals {
  const { design, covariance, beta, follow } = state;
  const { p, scale } = design;
  const { place, rows } = schoenfeldRows(state);
  const events = place.length;
  const columns = emptyColumns(state, events);
  for (let e = 0; e < events; e++) {
    for (let j = 0; j < p; j++) {
      columns[j]![e] = kind === "schoenfeld"
        ? rows[e * p + j]! * scale[j]!
        : (beta[j]! + events * product(covariance, rows, e * p, j, p)) / scale[j]!;
    }
  }
  const row = Int32Array.from(place, (i) => design.rowAt[i]!);
  const time = Float64Array.from(row, (i) => follow.time[i]!);
  return { kind, time, row, columns: named(state, columns) };
}

function emptyColumns(state: CoxState, length: number): Float64Array[] {
  return state.kept.map(() => new Float64Array(length));
}

function named(state: CoxState, columns: Float64Array[]): Record<string, Float64Array> {
  return Object.fromEntries(columns.map((column, j) => [state.names[state.kept[j]!]!, column]));
}

/** Element j of matrix times the p values of `rows` from `base`. */
function product(
  matrix: Float64Array,
  rows: Float64Array,
  base: number,
  j: number,
  p: number,
): number {
  let sum = 0;
  for (let a = 0; a < p; a++) sum += matrix[j * p + a]! * rows[base + a]!;
  return sum;
}
