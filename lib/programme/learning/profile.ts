import { numberColumn } from "../../numerics/mod.ts";
import { linearRegression } from "../../regression/models/mod.ts";
import { indicatorColumns } from "../predictions/mod.ts";
import { climbEvents } from "./climb-events.ts";
import { efficientTerms, leftToLearn } from "./efficient-terms.ts";
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

/**
 * Least squares: what a term adds is what it explains of the residuals, beside what the others do
 * of it.
 */
function amountProfile(columns: LearningColumns, cases: Float64Array): LearningProfile {
  const { outcome, unit, covariates } = columns;
  const n = outcome.length;
  const { residuals, terms: fittedTerms } = linearRegression({
    outcome,
    covariates: { ...covariates, ...indicatorColumns("unit", unit) },
  }, { errors: "equal-variance" });
  const none = residuals.map((r, i) => outcome[i]! - r);
  const squares = (values: Float64Array) => values.reduce((sum, value) => sum + value * value, 0);
  const terms = efficientTerms(columns, cases, outcome.map(() => 1));
  const left = squares(residuals);
  const points = Array.from(cases, (number, k) => {
    const own = terms.columns[k]!;
    const mass = squares(own);
    const score = own.reduce((sum, x, i) => sum + x * residuals[i]!, 0);
    const effect = mass > 0 ? score / mass : 0;
    const after = residuals.map((r, i) => r - effect * own[i]!);
    const logLikelihood = -n / 2 * Math.log(squares(after) / n);
    // robust, as of residuals that vary unequally
    const spread = Math.sqrt(squares(after.map((r, i) => r * own[i]!)) / mass / mass);
    return {
      cases: number,
      logLikelihood,
      gain: 2 * logLikelihood + n * Math.log(left / n),
      effect,
      standardError: spread * Math.sqrt(n / (n - fittedTerms.length - 1)),
      fitted: outcome.map((y, i) => y - after[i]!),
    };
  });
  return { points, none };
}
