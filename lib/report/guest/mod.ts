/** A notebook's process: what runs in it and how it is spoken with; what reads code. @module */
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
