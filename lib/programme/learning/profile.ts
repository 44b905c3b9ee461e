import { DataError, numberColumn, type Numbers } from "../../numerics/mod.ts";
import { linearRegression } from "../../regression/models/mod.ts";
import { indicatorColumns } from "../predictions/mod.ts";
import { climbEvents } from "./climb-events.ts";
import type { LearningColumns } from "./learning-data.ts";

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
  const others = [
    ...Object.entries(covariates)
      .map(([name, column]) => numberColumn(`covariates.${name}`, column)),
    ...Object.values(indicatorColumns("unit", unit)),
  ];
  const alone = climbEvents(outcome, others);
  let from = Float64Array.of(...alone.beta, 0);
  const points = Array.from(cases, (number) => {
    const full = climbEvents(outcome, [...others, leftToLearn(experience, number)], from);
    from = full.beta;
    const last = others.length + 1;
    return {
      cases: number,
      logLikelihood: full.logLikelihood,
      gain: 2 * (full.logLikelihood - alone.logLikelihood),
      effect: full.beta[last]!,
      standardError: Math.sqrt(full.inverse[last * (last + 1) + last]!),
      fitted: full.chance,
    };
  });
  return { points, none: alone.chance };
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
