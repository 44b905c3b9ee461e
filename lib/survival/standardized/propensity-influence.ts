import { dot } from "../../numerics/mod.ts";
import { logisticRegression } from "../../regression/models/mod.ts";
import type { StandardizedColumns } from "./standardized-contrast.ts";

/** Propensity scores, and how each row's score moves what depends on the logits of all. */
export function propensityOf(
  { treated, rows }: StandardizedColumns,
  covariates: Map<string, Float64Array>,
) {
  const n = treated.length;
  if (covariates.size === 0) {
    const share = rows[1].length / n;
    return {
      fitted: new Float64Array(n).fill(share),
      reason: undefined,
      influenceOf: (slopes: Float64Array) => {
        const slope = slopes.reduce((sum, value) => sum + value, 0);
        return Float64Array.from(
          treated,
          (one) => slope * (one - share) / (n * share * (1 - share)),
        );
      },
    };
  }
  const fit = logisticRegression({ outcome: treated, covariates: Object.fromEntries(covariates) });
  const design = fit.terms.map(({ name }, j) =>
    j === 0 ? new Float64Array(n).fill(1) : covariates.get(name)!
  );
  const q = design.length;
  return {
    fitted: fit.fitted,
    reason: fit.reason,
    influenceOf: (slopes: Float64Array) => {
      const gradient = design.map((x) => dot(x, slopes));
      const moved = Float64Array.from(
        gradient,
        (_, j) => gradient.reduce((sum, value, k) => sum + fit.covariance[j * q + k]! * value, 0),
      );
      const influence = new Float64Array(n);
      for (let j = 0; j < q; j++) {
        const [by, column] = [moved[j]!, design[j]!];
        for (let i = 0; i < n; i++) influence[i]! += by * column[i]!;
      }
      for (let i = 0; i < n; i++) influence[i]! *= treated[i]! - fit.fitted[i]!;
      return influence;
    },
  };
}
