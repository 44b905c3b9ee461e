/** Word documents made beside what else goes on: what writes them is not loaded here. @module */
export { tablesDocxIn } from "./tables-in-worker.ts";
