import { DataError, invertTail, type Numbers } from "../../numerics/mod.ts";
import { logisticRegression } from "../../regression/models/mod.ts";

/** What a model without units lets expect of each operation. */
export interface ExpectedRisks {
  logOdds: Float64Array;
  /** Columns of the model, the constant first, and the covariance of its coefficients. */
  design: Float64Array[];
  covariance: Float64Array;
  /** Why the model did not converge; absent where it did. */
  reason: string | undefined;
}

/** Log odds of each row from a logistic model of its covariates; all alike without any. */
export function expectedRisks(
  outcome: Uint8Array,
  covariates: Record<string, Numbers> | undefined,
): ExpectedRisks {
  const n = outcome.length;
  const constant = new Float64Array(n).fill(1);
  if (covariates && Object.keys(covariates).length > 0) {
    const fit = logisticRegression({ outcome, covariates });
    const kept = fit.terms.slice(1).map(({ name }) => Float64Array.from(covariates[name]!));
    const { linearPredictor: logOdds, covariance, reason } = fit;
    return { logOdds, design: [constant, ...kept], covariance, reason };
  }
  const events = outcome.reduce((sum, y) => sum + y, 0);
  if (events === 0 || events === n) {
    throw new DataError("outcome", "0 in some rows and 1 in others", outcome[0], 0);
  }
  const share = events / n;
  return {
    logOdds: constant.map(() => Math.log(share / (1 - share))),
    design: [constant],
    covariance: Float64Array.of(1 / (n * share * (1 - share))),
    reason: undefined,
  };
}

/** What to add to all log odds for the mean chance to be the target. */
export function shiftTo(logOdds: Float64Array, target: number): number {
  const meanAt = (shift: number) =>
    logOdds.reduce((sum, one) => sum + 1 / (1 + Math.exp(-one - shift)), 0) / logOdds.length;
  return invertTail(meanAt, target, "rising");
}
