export { drawLevelModel, type LevelKind, linear } from "./level-models.ts";
export { donorsOf, drawDonor } from "./donors.ts";
export { drawLinear } from "./linear-model.ts";
