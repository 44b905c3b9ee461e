import { checkConfidence, distributions, type Interval, twoSidedP } from "../../numerics/mod.ts";

/** What a negative control shows. */
export interface NegativeControl {
  /** Whether its limits leave no effect out, although it can have none. */
  seen: boolean;
  /** The control's difference: what bias alone made. */
  bias: Interval & { pValue: number };
  /** The main difference less the control's, if both are biased alike; where one was given. */
  allowedFor?: Interval & { pValue: number };
}

/**
 * A comparison that can show no effect, made as the main one was: whatever it shows is bias.
 *
 * A control outcome is one that the operation cannot change but what decides between operations
 * might. Limits that include zero do not show that there is no bias: with nothing wrong they do so
 * in 95% of cohorts, and with few events in nearly all. Taking the control's difference from the
 * main one supposes that the bias is as large there, on this scale; errors are added
 * as if independent.
 *
 * @param control Its difference, with its standard error.
 * @param main The main comparison's, on the same scale.
 * @example
 * ```ts
 * import { negativeControl } from "mitral";
 *
 * const none = { estimate: 0.06, standardError: 0.02, lower: 0.02, upper: 0.1 };
 * negativeControl(none).seen; // true: groups differ in what cannot differ
 * ```
 * @throws {DataError}
 * @see Lipsitch, Tchetgen Tchetgen & Cohen (2010) Epidemiology 21:383-388; subtracting: Sofer and
 * others (2016) Stat Sci 31:348-361.
 */
export function negativeControl(
  control: Pick<Interval, "estimate" | "standardError">,
  main?: Pick<Interval, "estimate" | "standardError">,
  options: { confidence?: number } = {},
): NegativeControl {
  const z = distributions.normalUpperQuantile((1 - checkConfidence(options.confidence)) / 2);
  const around = (estimate: number, standardError: number) => ({
    estimate,
    standardError,
    lower: estimate - z * standardError,
    upper: estimate + z * standardError,
    pValue: standardError > 0 ? twoSidedP(estimate / standardError) : NaN,
  });
  const bias = around(control.estimate, control.standardError);
  return {
    seen: bias.lower > 0 || bias.upper < 0,
    bias,
    ...(main
      ? {
        allowedFor: around(
          main.estimate - control.estimate,
          Math.hypot(main.standardError, control.standardError),
        ),
      }
      : {}),
  };
}
