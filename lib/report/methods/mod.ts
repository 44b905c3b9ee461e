export { type Method, methodAreas } from "./method.ts";
export { type MethodsUsed, methodsUsed, workNumber, workText } from "./used.ts";
