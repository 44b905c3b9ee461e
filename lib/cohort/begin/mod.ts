/** One conversation from a centre's raw export to a whole study file. @module */
export { converse, type Outcome, pathFrom, type Start } from "./converse.ts";
export { considerHeadings } from "./consider.ts";
export {
  type Answerer,
  type Conversation,
  conversation,
  type Question,
  Stopped,
} from "./questions.ts";
