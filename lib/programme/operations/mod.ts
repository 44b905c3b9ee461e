/** The eligible operations as the programme's own quality is looked at. @module */
export { difficultiesOf, type Difficulty } from "./difficulties.ts";
export { bandOf, type ProgrammeOperations, programmeOperations } from "./programme-operations.ts";
export { blockMeans, type Blocks, publishableBlocks } from "./publishable-series.ts";
export type { SurgeonLabels } from "./surgeon-labels.ts";
