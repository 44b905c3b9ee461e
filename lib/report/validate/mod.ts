/** What is wrong with a study’s files, before anything is run. @module */
export { verdict } from "./html.ts";
export { toWrite } from "./what-to-write.ts";
export { validateStudy, type Validation } from "./validation.ts";
