import { countOf } from "./facts.ts";

/** How many of a group left theatre with a repair. */
export const finalRepair = (group: string): string => countOf(group, "Final procedure, repair");

/** How many of a group left theatre with a replacement. */
export const finalReplacement = (group: string): string =>
  countOf(group, "Final procedure, replacement");

/** How many of a group died. */
export const died = (group: string): string => countOf(group, "died");
