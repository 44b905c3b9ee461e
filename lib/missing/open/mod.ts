/** A study opened for a notebook, with missing covariates treated as planned. @module */
export { enoughOf, openAnalysis, type OpenedAnalysis, treatedAsPlanned } from "./open-analysis.ts";
