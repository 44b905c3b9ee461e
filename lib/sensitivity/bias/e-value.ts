import { checkNumber, DataError } from "../../numerics/mod.ts";

/**
 * E-value: how strongly, on the risk-ratio scale, an unmeasured confounder would have to be tied to
 * both treatment and outcome to explain a risk ratio away entirely.
 *
 * RR + sqrt(RR (RR - 1)) for RR >= 1; 1 / RR takes its place below 1. For a confidence limit, the
 * one nearer 1; if the interval includes 1, its E-value is 1.
 *
 * @example
 * ```ts
 * import { eValue } from "mitral";
 * eValue(3.9, 1.8); // { estimate: 7.26, limit: 3 }
 * ```
 * @param riskRatio Above 0. Hazard and odds ratios of common outcomes first through
 * {@link riskRatioFromHazardRatio} and {@link riskRatioFromOddsRatio}.
 * @param limit The confidence limit nearer 1: the lower one of a ratio above 1, the upper one of a
 * ratio below 1.
 * @throws {DataError}, also where the limit lies further from 1 than the ratio: it is
 * the other one.
 * @see VanderWeele & Ding (2017) Ann Intern Med 167:268-274.
 */
export function eValue(riskRatio: number, limit?: number): { estimate: number; limit?: number } {
  ratio("riskRatio", riskRatio);
  const estimate = explain(riskRatio);
  if (limit === undefined) return { estimate };
  ratio("limit", limit);
  // a ratio of 1 lies within any interval, so either limit will do
  const nearer = riskRatio > 1 ? limit <= riskRatio : riskRatio < 1 ? limit >= riskRatio : true;
  if (!nearer) {
    const side = riskRatio > 1 ? "at most" : "at least";
    throw new DataError("limit", `the one nearer 1, ${side} the ratio ${riskRatio}`, limit);
  }
  const reachesOne = riskRatio === 1 || (riskRatio > 1 ? limit <= 1 : limit >= 1);
  return { estimate, limit: reachesOne ? 1 : explain(limit) };
}

/**
 * Risk ratio that goes with a hazard ratio when the outcome is common (above about 15% at the end
 * of follow-up): (1 - 0.5^sqrt(HR)) / (1 - 0.5^sqrt(1 / HR)). When it is rare the two are alike.
 *
 * @throws {DataError}
 * @see VanderWeele (2017) Epidemiology 28:e33; VanderWeele & Ding (2017).
 */
export function riskRatioFromHazardRatio(hazardRatio: number): number {
  ratio("hazardRatio", hazardRatio);
  return (1 - 0.5 ** Math.sqrt(hazardRatio)) / (1 - 0.5 ** Math.sqrt(1 / hazardRatio));
}

/**
 * Risk ratio that goes with an odds ratio when the outcome is common: its square root.
 *
 * @throws {DataError}
 * @see VanderWeele (2017) Biometrics 73:746-752.
 */
export function riskRatioFromOddsRatio(oddsRatio: number): number {
  return Math.sqrt(ratio("oddsRatio", oddsRatio));
}

function explain(riskRatio: number): number {
  const away = Math.max(riskRatio, 1 / riskRatio);
  return away + Math.sqrt(away * (away - 1));
}

function ratio(name: string, value: number): number {
  return checkNumber(name, value, (v) => v > 0 && v < Infinity, "a finite number > 0");
}
