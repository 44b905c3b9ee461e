import { choiceMethods } from "./choices.ts";
import { eventMethods } from "./events.ts";
import { groupMethods } from "./groups.ts";
import type { Method } from "./method.ts";
import { otherMethods } from "./other.ts";
import { populationMethods } from "./populations.ts";
import { programmeMethods } from "./programme.ts";
import { survivalMethods } from "./survival.ts";

/**
 * What each estimator does, in the order a methods section is read. The report prints those that
 * the executed notebooks called and no others.
 */
export const methodsRegistry: readonly Method[] = [
  ...groupMethods,
  ...survivalMethods,
  ...eventMethods,
  ...programmeMethods,
  ...otherMethods,
  ...populationMethods,
  ...choiceMethods,
];
