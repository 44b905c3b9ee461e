/** Whether to believe what was drawn: traces, and drawn values beside known ones. @module */
export { type Mixing, mixing } from "./mixing.ts";
export {
  type ColumnComparison,
  observedAgainstImputed,
  type ValuesSummary,
} from "./observed-against-imputed.ts";
