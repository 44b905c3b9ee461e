import { distributions } from "./distributions.ts";
import type { Test } from "../columns/mod.ts";

/**
 * A statistic with its upper-tail chi-square probability; without degrees of freedom, no evidence.
 */
export function chiSquareResult(statistic: number, degreesOfFreedom: number): Test {
  if (degreesOfFreedom === 0) return { statistic: 0, degreesOfFreedom, pValue: 1 };
  const pValue = distributions.chiSquareUpper(statistic, degreesOfFreedom);
  return { statistic, degreesOfFreedom, pValue };
}
