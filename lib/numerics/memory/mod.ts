/** What takes long to make and is asked for more than once. @module */
export { Memory } from "./memory.ts";
export { plainHash } from "./plain-bytes.ts";
export { sha256 } from "./sha256.ts";
