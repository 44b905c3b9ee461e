import { distributions } from "./distributions.ts";

/**
 * Two-sided p value of an estimate over its standard error; NaN where there is no error to tell.
 */
export function twoSidedP(z: number): number {
  return Number.isNaN(z) ? NaN : distributions.normalTwoSided(z);
}
