/** How limits of a survival probability are made: on which scale the estimate is normal. */
export type LimitScale = "log-log" | "log" | "plain";

export const LIMIT_SCALES: readonly LimitScale[] = ["log-log", "log", "plain"];

/**
 * Fills lower and upper limits of survival, row by row.
 *
 * With s the standard error and z the normal quantile: plain S +/- z s; log S exp(+/- z s / S);
 * log-log S^exp(-/+ z s / (S log S)). Clipped to [0, 1]. Where S = 1 with no error the interval is
 * [1, 1]; where S = 0 there is none (NaN). Rows that repeat the row before are
 * copied, not computed.
 */
export function fillLimits(
  survival: Float64Array,
  standardError: Float64Array,
  scale: LimitScale,
  z: number,
  lower: Float64Array,
  upper: Float64Array,
): void {
  if (scale === "log-log") return fillLogLog(survival, standardError, z, lower, upper);
  for (let j = 0; j < survival.length; j++) {
    const s = survival[j]!;
    const error = standardError[j]!;
    if (!(s > 0) || !(error >= 0)) {
      lower[j] = upper[j] = NaN;
    } else if (scale === "plain") {
      lower[j] = Math.max(0, s - z * error);
      upper[j] = Math.min(1, s + z * error);
    } else {
      const factor = Math.exp(z * error / s);
      lower[j] = s / factor;
      upper[j] = Math.min(1, s * factor);
    }
  }
}

/**
 * The log-log limits: one logarithm and three exponentials a row, all of numbers that move slowly
 * along a curve. Each is a series about the last argument that needed the real function; the first
 * term left out is below 1e-18 of the value, so nothing is lost but time.
 */
function fillLogLog(
  survival: Float64Array,
  standardError: Float64Array,
  z: number,
  lower: Float64Array,
  upper: Float64Array,
): void {
  let s0 = NaN;
  let logS0 = NaN;
  let x0 = NaN;
  let exp0 = NaN;
  let low0 = NaN;
  let expLow0 = NaN;
  let high0 = NaN;
  let expHigh0 = NaN;
  let lastS = NaN;
  let lastError = NaN;
  for (let j = 0; j < survival.length; j++) {
    const s = survival[j]!;
    const error = standardError[j]!;
    if (s === lastS && error === lastError) {
      lower[j] = lower[j - 1]!;
      upper[j] = upper[j - 1]!;
      continue;
    }
    lastS = s;
    lastError = error;
    if (!(s > 0) || !(error >= 0)) {
      lower[j] = upper[j] = NaN;
      continue;
    }
    if (error === 0) {
      lower[j] = upper[j] = s;
      continue;
    }
    let d = (s - s0) / s0;
    if (!(d < NEAR && d > -NEAR)) {
      s0 = s;
      logS0 = Math.log(s);
      d = 0;
    }
    const logS = logS0 + logSeries(d);
    // s below 1 here: an error above 0 needs an event
    const x = -z * error / (s * logS);
    d = x - x0;
    if (!(d < NEAR && d > -NEAR)) {
      x0 = x;
      exp0 = Math.exp(x);
      d = 0;
    }
    const factor = exp0 + exp0 * expSeries(d);
    const low = logS * factor;
    d = low - low0;
    if (!(d < NEAR && d > -NEAR)) {
      low0 = low;
      expLow0 = Math.exp(low);
      d = 0;
    }
    lower[j] = expLow0 + expLow0 * expSeries(d);
    const high = logS / factor;
    d = high - high0;
    if (!(d < NEAR && d > -NEAR)) {
      high0 = high;
      expHigh0 = Math.exp(high);
      d = 0;
    }
    upper[j] = expHigh0 + expHigh0 * expSeries(d);
  }
}

const NEAR = 1 / 512;

/** exp(d) - 1 for |d| < 1/512. */
function expSeries(d: number): number {
  return d * (1 + d * (0.5 + d * (1 / 6 + d * (1 / 24 + d * (1 / 120 + d * (1 / 720))))));
}

/** log(1 + d) for |d| < 1/512. */
function logSeries(d: number): number {
  return d * (1 - d * (0.5 - d * (1 / 3 - d * (1 / 4 - d * (1 / 5 - d * (1 / 6))))));
}
