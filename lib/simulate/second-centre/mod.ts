export { secondCentreFiles } from "./second-centre-files.ts";
export { simulateSecondCentre } from "./second-centre.ts";
