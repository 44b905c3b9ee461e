/** Word documents made beside what else goes on: what writes them is not loaded here. @module */
export { wordHere, WordInWorker, type WordWriter } from "./word-writer.ts";
