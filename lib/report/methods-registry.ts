import { eventMethods } from "./methods/events.ts";
import { groupMethods } from "./methods/groups.ts";
import type { Method } from "./methods/method.ts";
import { otherMethods } from "./methods/other.ts";
import { survivalMethods } from "./methods/survival.ts";

/**
 * What each estimator does, in the order a methods section is read. The report prints those that
 * the executed notebooks called and no others.
 */
export const methodsRegistry: readonly Method[] = [
  ...groupMethods,
  ...survivalMethods,
  ...eventMethods,
  ...otherMethods,
];
