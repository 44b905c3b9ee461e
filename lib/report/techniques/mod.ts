/** Which technique: the plan's comparisons of arms as forest, tables and sentences. @module */
export { techniqueArmsTable } from "./technique-arms.ts";
export { armsForestWords, techniqueSections } from "./technique-forest.ts";
export { techniqueSentence } from "./technique-sentence.ts";
export { techniqueTable } from "./technique-table.ts";
