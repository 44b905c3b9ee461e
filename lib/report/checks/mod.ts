/**
 * The main comparison made again: controls, eras, the other procedure, the
 * whole procedure repeated.
 *
 * @module
 */
export { bothProcedures } from "./both-procedures.ts";
export { eraSubgroups } from "./eras.ts";
export { repeatedJobs, repeatedProcedure } from "./repeated-procedure.ts";
export { type ControlAnswer, negativeControls } from "./negative-controls.ts";
export { type ComparedAt, incidenceWeightedAnew, survivalWeightedAnew } from "./weighted-anew.ts";
