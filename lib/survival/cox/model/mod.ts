/**
 * Proportional hazards regression and what a fit gives: terms, errors,
 * baseline hazard, concordance.
 *
 * @module
 */
export type { BaselineHazard, PredictedSurvival } from "./baseline.ts";
export { type Concordance, concordanceOf } from "./concordance.ts";
export { coxRegression } from "./cox-regression.ts";
export type { CoxData, CoxFit, CoxOptions, CoxTerm, TieRule } from "./fit.ts";
export { scoreResiduals } from "./influence.ts";
export { productsOf, sandwich, timeScoreProducts } from "./robust.ts";
export { type CoxState, stateOf, tableOf } from "./state.ts";
export { columnMeans, linearPredictor, reasonOf, termsOf, unscaled } from "./summary.ts";
