/** What must hold of cells, patients, mapping and plan. @module */
export { checkCells } from "./cells.ts";
export { checkPatients } from "./patients.ts";
export { checkPlan } from "./plan.ts";
