/**
 * Tables and sentences about what an answer hangs on: missing values, paths, what was not measured.
 *
 * @module
 */
export {
  type PairsWithstand,
  pairsWithstand,
  supposedTable,
  withstandSentence,
} from "./bias-tables.ts";
export {
  imputedPanels,
  influenceTable,
  instrumentSentence,
  mostMissing,
  pathsSentence,
  tippingTable,
  unknownSentence,
  yardstickSentence,
  yardstickTable,
} from "./choice-tables.ts";
export { controlSentence, controlTable, misreadTable } from "./control-tables.ts";
export { neededConfounding, neededTable } from "./needed-table.ts";
export { setsSentence } from "./sets-sentence.ts";
export { surgeonAllowedTable } from "./surgeon-allowed.ts";
export { unknownTable } from "./unknown-table.ts";
