import { distributions, twoSidedP } from "../../../numerics/mod.ts";
import type { CoxTerm } from "./fit.ts";
import type { Maximum } from "../likelihood/mod.ts";

/** What the terms of a fit are made from, whichever hazard was modelled. */
export interface Fitted {
  follow: { n: number };
  design: { p: number; scale: Float64Array };
  /** All covariate names, in the caller's order. */
  names: string[];
  /** Indices into `names` of the covariates in `design`. */
  kept: number[];
  /** Estimates for the scaled covariates, their model-based covariance and any robust one. */
  beta: Float64Array;
  covariance: Float64Array;
  robust: Float64Array | undefined;
  means: Float64Array;
  confidence: number;
}

/** One row a covariate; limits and tests use the robust error where there is one. */
export function termsOf(state: Fitted, maximum: Maximum): CoxTerm[] {
  const { design, names, kept, covariance, robust } = state;
  const z = distributions.normalUpperQuantile((1 - state.confidence) / 2);
  return names.map((name, column) => {
    const j = kept.indexOf(column);
    const unit = j < 0 ? NaN : design.scale[j]!;
    const coefficient = j < 0 ? NaN : maximum.beta[j]! / unit;
    const errorFrom = (matrix: Float64Array) =>
      maximum.factor.dropped.includes(j) ? Infinity : Math.sqrt(matrix[j * design.p + j]!) / unit;
    const standardError = j < 0 ? NaN : errorFrom(covariance);
    const robustStandardError = robust && (j < 0 ? NaN : errorFrom(robust));
    const error = robustStandardError ?? standardError;
    const ratio = coefficient / error;
    return {
      name,
      coefficient,
      standardError,
      ...(robust ? { robustStandardError } : {}),
      hazardRatio: Math.exp(coefficient),
      lower: Math.exp(coefficient - z * error),
      upper: Math.exp(coefficient + z * error),
      z: ratio,
      pValue: twoSidedP(ratio),
    };
  });
}

/** A covariance of scaled coefficients as one of all coefficients per unit. */
export function unscaled(state: Fitted, matrix: Float64Array): Float64Array {
  const { design, names, kept } = state;
  const all = new Float64Array(names.length ** 2).fill(NaN);
  kept.forEach((row, a) =>
    kept.forEach((column, b) => {
      all[row * names.length + column] = matrix[a * design.p + b]! / design.scale[a]! /
        design.scale[b]!;
    })
  );
  return all;
}

/** Centred at the covariate means, in the order of the rows given. */
export function linearPredictor(state: Fitted, columns: Float64Array[]): Float64Array {
  const { design, kept, beta, means, follow } = state;
  const out = new Float64Array(follow.n);
  kept.forEach((column, j) => {
    const values = columns[column]!;
    const coefficient = beta[j]! / design.scale[j]!;
    const mean = means[column]!;
    for (let i = 0; i < out.length; i++) out[i]! += coefficient * (values[i]! - mean);
  });
  return out;
}

/** Weighted means, formed about the first value so that large constants keep their digits. */
export function columnMeans(
  columns: Float64Array[],
  weight: Float64Array | undefined,
): Float64Array {
  return Float64Array.from(columns, (column) => {
    const origin = column[0]!;
    let sum = 0;
    let total = 0;
    for (let i = 0; i < column.length; i++) {
      const w = weight ? weight[i]! : 1;
      sum += w * (column[i]! - origin);
      total += w;
    }
    return origin + sum / total;
  });
}

/** Why a fit did not converge. @param remedy Said where a coefficient grows without bound. */
export function reasonOf(maximum: Maximum, separated: string[], remedy?: string): string {
  if (separated.length === 0) return maximum.reason ?? "";
  const which = separated.map((name) => `"${name}"`).join(", ");
  return `the likelihood keeps rising as the coefficient of ${which} grows without bound ` +
    `(separation)${remedy ? `; ${remedy}` : ""}`;
}
