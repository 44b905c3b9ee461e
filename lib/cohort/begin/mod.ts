/** One conversation from a centre's raw export to a whole study file. @module */
export { converse, type Outcome, pathFrom, type Start } from "./converse.ts";
export { quoted } from "./answers.ts";
export { considerHeadings } from "./consider.ts";
export { type ShownHeading } from "./shown-heading.ts";
export { sourceKinds } from "./source-names.ts";
export {
  type Answerer,
  type AskedValue,
  type Choice,
  type Conversation,
  conversation,
  type Form,
  type Question,
  Stopped,
} from "./questions.ts";
