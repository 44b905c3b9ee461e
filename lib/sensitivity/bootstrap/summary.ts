import { DataError, distributions, type Limits } from "../../numerics/mod.ts";
import { bootstrapLimits, type BootstrapMethod } from "../resampling/mod.ts";
import { formatNumber } from "../../words/mod.ts";

/** A bootstrap's result. */
export interface Bootstrap {
  /** The statistic of the rows themselves. */
  estimate: number;
  /** Standard deviation of the replicates. */
  standardError: number;
  /** Mean of the replicates less the estimate. */
  bias: number;
  /** The limits used. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Which they are, and why. */
  used: ChosenLimits;
  /** All there are; accelerated ones are missing where they cannot be formed. */
  limits: Record<"percentile" | "basic" | "normal", Pick<Limits, "lower" | "upper">> & {
    accelerated?: Pick<Limits, "lower" | "upper">;
  };
  /** The replicates that gave a finite value, in order. */
  replicates: Float64Array;
  /** Replicates whose statistic was not finite; left out, and never many in a good analysis. */
  failed: number;
}

/** One kind of limits, and why it was taken. */
export interface ChosenLimits {
  /** Which limits were taken. */
  method: BootstrapMethod | "normal";
  /** A sentence. */
  why: string;
}

/**
 * What replicates say of an estimate; those that are not finite are counted and left out.
 *
 * Accelerated limits are used where the bias is at most a quarter of the standard error (Efron &
 * Tibshirani 1993, section 10.3), and normal ones, estimate +- z s, elsewhere: percentiles are then
 * shifted by the bias, and what takes the shift off twice does harm where it is the resampling's
 * own (test/calibration/bootstrap-limits.ts).
 *
 * @param values The replicates, then the jackknife's.
 * @param options.limits The kind to use in place of that rule.
 * @throws {DataError} if the estimate, or half of the replicates, are not finite.
 */
export function summariseReplicates(
  estimate: number,
  values: Float64Array,
  options: { wanted: number; confidence: number; limits?: ChosenLimits },
): Bootstrap {
  const { wanted, confidence } = options;
  if (!Number.isFinite(estimate)) {
    throw new DataError("statistic", "finite for the rows themselves", estimate);
  }
  const replicates = values.subarray(0, wanted).filter(Number.isFinite);
  const count = replicates.length;
  if (count < wanted / 2) {
    throw new DataError("statistic", "finite in most replicates", `${count} of ${wanted}`);
  }
  let mean = 0;
  for (const value of replicates) mean += value / count;
  let squares = 0;
  for (const value of replicates) squares += (value - mean) ** 2;
  const standardError = Math.sqrt(squares / (count - 1));
  const bias = mean - estimate;
  const of = (method: "percentile" | "basic") =>
    bootstrapLimits({ estimate, replicates }, { method, confidence });
  const jackknife = values.subarray(wanted).filter(Number.isFinite);
  const accelerated = acceleratedLimits({ estimate, replicates, jackknife }, confidence);
  const reach = distributions.normalUpperQuantile((1 - confidence) / 2) * standardError;
  const normal = { lower: estimate - reach, upper: estimate + reach };
  const limits: Bootstrap["limits"] = {
    percentile: of("percentile"),
    basic: of("basic"),
    normal,
    ...(accelerated ? { accelerated } : {}),
  };
  const wish = options.limits ?? choice(bias / standardError);
  const found = limits[wish.method];
  const used = found ? wish : withoutAcceleration;
  return {
    estimate,
    standardError,
    bias,
    ...(found ?? normal),
    used,
    limits,
    replicates,
    failed: wanted - count,
  };
}

const NOTABLE_BIAS = 0.25;

function choice(shift: number): ChosenLimits {
  if (!(Math.abs(shift) > NOTABLE_BIAS)) {
    return {
      method: "accelerated",
      why: "The bias is at most a quarter of the standard error: limits are corrected for it and " +
        "for skewness.",
    };
  }
  return {
    method: "normal",
    why:
      `The bias is ${
        formatNumber(Math.abs(shift), { digits: 1 })
      } standard errors, which would shift limits read ` +
      "off the replicates: limits are the estimate and its standard error's.",
  };
}

const withoutAcceleration: ChosenLimits = {
  method: "normal",
  why: "Limits corrected for bias and skewness cannot be formed: limits are the estimate and its " +
    "standard error's.",
};

/** None where all replicates lie on one side of the estimate, or the jackknife failed. */
function acceleratedLimits(
  data: { estimate: number; replicates: Float64Array; jackknife: Float64Array },
  confidence: number,
): Pick<Limits, "lower" | "upper"> | undefined {
  if (data.jackknife.length < 10) return undefined;
  try {
    return bootstrapLimits(data, { method: "accelerated", confidence });
  } catch (error) {
    if (error instanceof DataError) return undefined;
    throw error;
  }
}
