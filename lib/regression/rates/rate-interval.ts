import { checkConfidence, checkNumber, checkWhole, distributions } from "../../numerics/mod.ts";

/**
 * A rate of events with exact Poisson limits: the linearised rate, by default per 100
 * patient-years.
 *
 * Limits of the count: half the chi-square quantiles with 2k degrees of freedom below and 2k + 2
 * above; 0 below when there is no event. Fair only where the hazard is roughly constant.
 *
 * @example
 * ```ts
 * import { rateInterval } from "mitral";
 * rateInterval(10, 1000); // { estimate: 1, lower: 0.4795, upper: 1.839 } per 100 patient-years
 * ```
 * @param events Whole number.
 * @param exposure Total time at risk, such as patient-years, above 0.
 * @throws {DataError}
 * @see Garwood (1936) Biometrika 28:437-442; use in valve surgery: Akins et al. (2008) J Thorac
 * Cardiovasc Surg 135:732-738.
 */
export function rateInterval(
  events: number,
  exposure: number,
  options: { per?: number; confidence?: number } = {},
): { estimate: number; lower: number; upper: number } {
  checkWhole("events", events, 0);
  const positive = (value: number) => value > 0 && value < Infinity;
  checkNumber("exposure", exposure, positive, "a finite number > 0");
  const per = checkNumber("per", options.per ?? 100, positive, "a finite number > 0");
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const unit = per / exposure;
  return {
    estimate: events * unit,
    lower: events === 0 ? 0 : distributions.chiSquareQuantile(tail, 2 * events) / 2 * unit,
    upper: distributions.chiSquareUpperQuantile(tail, 2 * events + 2) / 2 * unit,
  };
}
