/** Linear, logistic and ordinal regression, splines, joint tests. @module */
export { jointTest, type TestableFit } from "./joint-test.ts";
export {
  type LogisticData,
  type LogisticFit,
  logisticRegression,
  type LogisticTerm,
  predictionBy,
} from "./logistic.ts";
export { logisticRefit, type RefittedColumns } from "./logistic-refit.ts";
export {
  type OrdinalCut,
  type OrdinalData,
  type OrdinalFit,
  ordinalRegression,
} from "./ordinal.ts";
export {
  type LinearData,
  type LinearFit,
  linearRegression,
  type LinearTerm,
  type PredictedMeans,
} from "./linear.ts";
export { splineBasis, splineBend, splineKnots } from "./spline.ts";
export { logistic, logisticPass, type LogisticRows, logisticSums } from "./logistic-kernel.ts";
export { ordinalPass } from "./ordinal-kernel.ts";
export { fitMultinomial, type MultinomialFit } from "./multinomial.ts";
export { multinomialPass } from "./multinomial-kernel.ts";
