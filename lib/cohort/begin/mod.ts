/** One conversation from a centre's raw export to a whole study file. @module */
export { converse, type Outcome, pathFrom, type Start } from "./converse.ts";
export { partsOf, quoted, quotedName, unquoted } from "./answers.ts";
export { considerHeadings } from "./consider/mod.ts";
export { type ShownHeading } from "./shown-heading.ts";
export { sourceKinds } from "./consider/mod.ts";
export {
  type Answerer,
  type AskedValue,
  type Choice,
  type Conversation,
  conversation,
  type Desk,
  type Form,
  type Question,
  Stopped,
} from "./questions.ts";
