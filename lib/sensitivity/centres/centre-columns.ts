import { DataError, numberColumn, type Numbers } from "../../numerics/mod.ts";

/** Independent estimates of one quantity, each with a known variance. */
export interface CentreEstimates {
  /** On a scale on which they are nearly normal: differences as they are, ratios as logarithms. */
  estimates: Numbers;
  /** Squared standard errors, above 0. */
  variances: Numbers;
}

/** Checks estimates and their variances: two or more. @throws {DataError} */
export function centreColumns(
  data: CentreEstimates,
): { y: Float64Array; v: Float64Array } {
  const y = numberColumn("estimates", data.estimates);
  if (y.length < 2) throw new DataError("estimates", "two or more", data.estimates);
  return { y, v: numberColumn("variances", data.variances, { length: y.length, above: 0 }) };
}
