/** Every problem of a file at once. @module */
export { type ProblemLine, ProblemsError } from "./problems.ts";
export { lineOfPath, pathOf } from "./json-line.ts";
export { isJsonObject } from "./json-object.ts";
