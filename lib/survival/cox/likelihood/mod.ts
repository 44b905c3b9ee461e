/**
 * The partial likelihood under each tie rule, with and without penalty, and the steps to its top.
 *
 * @module
 */
export { exactLikelihood } from "./exact.ts";
export { maximisePenalised, type PenalisedMaximum } from "./jeffreys.ts";
export { type Evaluate, type Evaluation, partialLikelihood } from "./likelihood.ts";
export { COLLINEAR, inverseForm, maximise, type Maximum, scoreStatistic } from "./newton.ts";
export { withoutDependent } from "./without-dependent.ts";
