/** What a heading of an unknown export may be, why, and whether that is beyond doubt. @module */
export { type Considered, considerHeadings, type Decision } from "./consider.ts";
export { mayBeTurned, namesState } from "./directions.ts";
export { areFractions, oddGrade, oddNumber, type OddValue } from "./odd-values.ts";
export { procedureNumbers, procedureRules, procedureWords } from "./procedure-words.ts";
export { heightUnit, weightUnit } from "./body-units.ts";
export { creatinineUnit } from "./source-of.ts";
export { type SourceKind, sourceKinds } from "./source-names.ts";
