/** The same as another centre’s files, with its own names, units and codes. @module */
export { secondCentreFiles } from "./second-centre-files.ts";
export { simulateSecondCentre } from "./second-centre.ts";
