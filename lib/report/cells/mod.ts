/** What a notebook's code cells rest on, read from their code. @module */
export { type CellCode, cellCode } from "./cell-code.ts";
export { type CellKeys, cellKeys } from "./cell-keys.ts";
export { parseCell } from "./parsed-cell.ts";
