/** Survival expected of people of the same age and sex. @module */
export {
  type ExpectedSurvival,
  expectedSurvival,
  type ObservedToExpected,
  observedToExpected,
  type People,
  type Person,
} from "./expected-survival.ts";
export { type LifeTable, readLifeTable } from "./life-table.ts";
