/** The options of commands, what they say went wrong, and what a reader types next. @module */
export {
  type CommandLine,
  commandLine,
  type CommandOptions,
  type CommandSpec,
  studyOptions,
} from "./command-line.ts";
export { messageOf } from "./message-of.ts";
export { taskLine } from "./task-line.ts";
