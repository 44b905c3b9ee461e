/** A study opened for a notebook, with missing covariates treated as planned. @module */
export { type EnoughToRepeat, enoughToRepeat } from "./enough-to-repeat.ts";
export { enoughOf, openAnalysis, type OpenedAnalysis, treatedAsPlanned } from "./open-analysis.ts";
