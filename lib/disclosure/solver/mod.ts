/** What a reader can work out of all that is published together. @module */
export { type Clue, countIs, type Range, restOf, shareOf, sumOf } from "./clue.ts";
export { cluesAbout, type PrintedClues } from "./clues-about.ts";
export { fewestValues, learnCounts, type Learnt, type LearntCounts } from "./learn.ts";
export { type PrintedCount, printedCount, printedShare } from "./printed.ts";
