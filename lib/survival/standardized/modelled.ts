import type { Numbers } from "../../numerics/mod.ts";
import {
  doublyRobustOf,
  type DoublyRobustSurvival,
  type TargetPopulation,
} from "./doubly-robust-survival.ts";
import { standardizedColumns, type StandardizedData } from "./standardized-contrast.ts";
import {
  eventHazards,
  standardizedOf,
  type StandardizedSurvival,
} from "./standardized-survival.ts";

/**
 * What `standardizedSurvival` and `doublyRobustSurvival` (censoring alike for all rows) say, from
 * one fit of the survival models that both rest on.
 *
 * @param data.target As for `standardizedSurvival`.
 * @throws {DataError} as those two.
 */
export function standardizedBothWays(
  { target, ...data }: StandardizedData & { target: Numbers },
  options: { times: Numbers; confidence?: number; population: TargetPopulation },
): { standardized: StandardizedSurvival; doublyRobust: DoublyRobustSurvival } {
  const columns = standardizedColumns(data);
  const hazards = eventHazards(columns);
  const { population, ...shared } = options;
  return {
    standardized: standardizedOf(columns, hazards, { ...shared, target }),
    doublyRobust: doublyRobustOf(
      columns,
      { ...shared, population, models: { censoring: [] } },
      hazards,
    ),
  };
}
