/** What takes long to make and is asked for more than once. @module */
export { Memory } from "./memory.ts";
export { sha256 } from "./sha256.ts";
