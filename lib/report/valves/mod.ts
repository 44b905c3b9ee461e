/**
 * In which valves: the main comparison in each population as grid, forest, balance and sentences.
 *
 * @module
 */
export { gridOf } from "./population-grid.ts";
export { populationSizes } from "./population-sizes.ts";
export { type PopulationsHeading, populationTable } from "./population-table.ts";
export { populationSections } from "./population-forest.ts";
export { populationBalanceRows, populationBalanceTable } from "./population-balance.ts";
export { curvesOf, figuresOf, framesOf, type PopulationCurve } from "./population-curves.ts";
export { populationFindings } from "./population-findings.ts";
export { forestWords, sizeInWords } from "./shown-effective.ts";
export { membershipSentence } from "./membership-sentence.ts";
export { valvesSentence } from "./valves-sentence.ts";
