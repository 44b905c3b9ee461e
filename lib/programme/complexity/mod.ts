/** What makes an operation hard, and which few patients make most of the replacements. @module */
export {
  type ComplexityScore,
  complexityScore,
  type ScoreItem,
  type ScoreRow,
} from "./complexity-score.ts";
export { type ConcentrationCurve, concentrationCurve } from "./concentration.ts";
export { sharesByType, type TypeShare } from "./shares-by-type.ts";
