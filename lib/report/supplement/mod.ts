/** The page that has everything: notebooks, plan, methods, checklist, hashes. @module */
export { checklist } from "./checklist.ts";
export { hasMapping } from "./mapping-section.ts";
export { areaAnchor } from "./methods-section.ts";
export { type PlanLine, planLines } from "./plan-section.ts";
export { supplementHtml } from "./supplement.ts";
export { targetTrial, targetTrialTable, type TrialPart } from "./target-trial.ts";
