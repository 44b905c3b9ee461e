/** How limits of a survival probability are made: on which scale the estimate is normal. */
export type LimitScale = "log-log" | "log" | "plain";

export const LIMIT_SCALES: readonly LimitScale[] = ["log-log", "log", "plain"];

/**
 * Fills lower and upper limits of survival, row by row.
 *
 * With s the standard error and z the normal quantile: plain S +/- z s; log S exp(+/- z s / S);
 * log-log S^exp(-/+ z s / (S log S)). Clipped to [0, 1]. Where S = 1 with no error the interval is
 * [1, 1]; where S = 0 there is none (NaN). Rows that repeat the row before are copied, not computed.
 */
export function fillLimits(
  survival: Float64Array,
  standardError: Float64Array,
  scale: LimitScale,
  z: number,
  lower: Float64Array,
  upper: Float64Array,
): void {
  let lastS = NaN;
  let lastError = NaN;
  for (let j = 0; j < survival.length; j++) {
    const s = survival[j]!;
    const error = standardError[j]!;
    if (j > 0 && s === lastS && error === lastError) {
      lower[j] = lower[j - 1]!;
      upper[j] = upper[j - 1]!;
      continue;
    }
    lastS = s;
    lastError = error;
    if (!(s > 0) || !(error >= 0)) {
      lower[j] = upper[j] = NaN;
    } else if (error === 0) {
      lower[j] = upper[j] = s;
    } else if (scale === "plain") {
      lower[j] = Math.max(0, s - z * error);
      upper[j] = Math.min(1, s + z * error);
    } else if (scale === "log") {
      const factor = Math.exp(z * error / s);
      lower[j] = s / factor;
      upper[j] = Math.min(1, s * factor);
    } else {
      const logS = Math.log(s);
      // s below 1 here: an error above 0 needs an event
      const factor = Math.exp(-z * error / (s * logS));
      lower[j] = Math.exp(logS * factor);
      upper[j] = Math.exp(logS / factor);
    }
  }
}
