/** How well given scores and chances foretell the event. @module */
export { areaUnderCurve } from "./area-under-curve.ts";
export { type BrierScore, brierScore } from "./brier-score.ts";
export { concordance } from "./concordance.ts";
export { knownAt } from "./censoring-weights.ts";
