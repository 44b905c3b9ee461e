/** Drawing one value, by the kind of column. @module */
export { drawLevelModel, type LevelKind, linear } from "./level-models.ts";
export { donorsOf, drawDonor } from "./donors.ts";
export { drawLinear } from "./linear-model.ts";
