import { DataError, type Numbers } from "../../numerics/mod.ts";
import { linearRegression } from "../../regression/models/mod.ts";
import { baseOf, climbMixed, type MixedClimb, mixedRows, normalQuadrature } from "../mixed/mod.ts";
import { indicatorColumns } from "../predictions/mod.ts";
import { type LearningColumns, unitMeans } from "./learning-data.ts";

/** The model fitted with one number of cases to the plateau. */
export interface ProfilePoint {
  cases: number;
  logLikelihood: number;
  /** Twice what the learning term adds to the log-likelihood. */
  gain: number;
  /** Coefficient of the learning term and its standard error. */
  effect: number;
  standardError: number;
  /** Chance, or amount, of each row. */
  fitted: Float64Array;
}

/** What is left to learn: 1 at the first operation, falling in a line to 0 at `cases`. */
export function leftToLearn(experience: Float64Array, cases: number): Float64Array {
  return experience.map((done) => Math.max(0, 1 - done / cases));
}

/** The model at each number of cases. */
export interface LearningProfile {
  points: ProfilePoint[];
  /** Chance, or amount, of each row where nothing is learnt. */
  none: Float64Array;
}

/** Fits the model at each number of cases. */
export function learningProfile(columns: LearningColumns, cases: Float64Array): LearningProfile {
  return columns.kind === "event" ? eventProfile(columns, cases) : amountProfile(columns, cases);
}

function eventProfile(columns: LearningColumns, cases: Float64Array): LearningProfile {
  const { outcome, unit, experience, covariates } = columns;
  const { rows, order, start } = mixedRows({ outcome, unit: unit.codes, covariates });
  const quadrature = normalQuadrature(9);
  const sorted = (column: Float64Array) => Float64Array.from(order, (row) => column[row]!);
  const q = start.length;
  const fitted = (terms: Float64Array[], from: Float64Array) => {
    const model = { ...rows, columns: [...rows.columns, ...terms.map(sorted)] };
    // a spread of 0 is level ground, from which no climb begins
    const begin = from.slice();
    const last = begin.length - 1;
    if (Math.abs(begin[last]!) < 0.1) begin[last] = 0.1;
    return climbMixed(model, begin, quadrature);
  };
  const wider = (parameters: Float64Array, more: number) => {
    const wide = new Float64Array(parameters.length + more);
    wide.set(parameters.subarray(0, q - 1));
    wide[wide.length - 1] = parameters[parameters.length - 1]!;
    return wide;
  };
  const spreadOut = start.slice();
  spreadOut[q - 1] = 0.3;
  let none: Float64Array = wider(spreadOut, 1);
  let learned: Float64Array = wider(spreadOut, 2);
  /** Chances of the rows as given, each surgeon at the likeliest level. */
  const chances = (columns: Float64Array[], { parameters, posteriors }: MixedClimb) => {
    const base = baseOf({ ...rows, columns }, parameters);
    const spread = parameters[parameters.length - 1]!;
    const chance = new Float64Array(rows.n);
    rows.units.forEach(({ first, end }, s) => {
      for (let k = first; k < end; k++) {
        chance[order[k]!] = 1 / (1 + Math.exp(-base[k]! - spread * posteriors[s]!.mean));
      }
    });
    return chance;
  };
  const points = Array.from(cases, (number) => {
    const left = leftToLearn(experience, number);
    const between = unitMeans(left, unit);
    const varies = between.some((mean) => Math.abs(mean - between[0]!) > 1e-9);
    const others = varies ? [between] : [];
    const without = fitted(others, varies ? none : wider(none, 0));
    const full = fitted([...others, left], varies ? learned : wider(learned, 1));
    if (varies) {
      none = without.parameters;
      learned = full.parameters;
    }
    const size = full.parameters.length;
    return {
      cases: number,
      logLikelihood: full.logLikelihood,
      gain: 2 * (full.logLikelihood - without.logLikelihood),
      effect: full.parameters[size - 2]!,
      standardError: Math.sqrt(full.inverse[(size - 2) * size + size - 2]!),
      fitted: chances([...rows.columns, ...[...others, left].map(sorted)], full),
    };
  });
  return { points, none: chances(rows.columns, climbMixed(rows, spreadOut, quadrature)) };
}

function amountProfile(columns: LearningColumns, cases: Float64Array): LearningProfile {
  const { outcome, unit, experience, covariates } = columns;
  if ("left to learn" in covariates) {
    throw new DataError("covariates", "named otherwise", "left to learn");
  }
  const common: Record<string, Numbers> = { ...covariates, ...indicatorColumns("unit", unit) };
  const logLikelihood = (residuals: Float64Array) => {
    const n = residuals.length;
    return -n / 2 * Math.log(residuals.reduce((sum, r) => sum + r * r, 0) / n);
  };
  const alone = linearRegression({ outcome, covariates: common }).residuals;
  const none = logLikelihood(alone);
  const less = (residuals: Float64Array) => residuals.map((r, i) => outcome[i]! - r);
  const points = Array.from(cases, (number) => {
    const fit = linearRegression({
      outcome,
      covariates: { ...common, "left to learn": leftToLearn(experience, number) },
    });
    const term = fit.terms.at(-1)!;
    const there = logLikelihood(fit.residuals);
    return {
      cases: number,
      logLikelihood: there,
      gain: 2 * (there - none),
      effect: term.coefficient,
      standardError: term.standardError,
      fitted: less(fit.residuals),
    };
  });
  return { points, none: less(alone) };
}
