/** A notebook's process: what it may touch, how it is spoken with, and what ends it. @module */
export { type Budget, budget, drawingProblem } from "./budget.ts";
export {
  type GuestEvent,
  type GuestText,
  OverBudget,
  type ReceivedItem,
  splitEvents,
} from "./guest-events.ts";
export { type Greeting, greetingFor, passwords } from "./passwords.ts";
export {
  checkCommand,
  declareCommand,
  graphCommand,
  ownTypesCommand,
  packagesCommand,
  quickCheckCommand,
} from "./compiler-commands.ts";
