/** Which methods a run used, in words, and the works they rest on. @module */
export { type Method, methodAreas } from "./method.ts";
export { type MethodsUsed, methodsUsed, workNumber, workText } from "./used.ts";
