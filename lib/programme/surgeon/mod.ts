/** The comparison of the groups with the surgeon allowed for. @module */
export { type SurgeonAnswers, surgeonAnswers } from "./surgeon-answers.ts";
