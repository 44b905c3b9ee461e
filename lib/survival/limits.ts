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
  const log = nearbyLog();
  const widen = nearbyExp();
  const toLower = nearbyExp();
  const toUpper = nearbyExp();
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
      const logS = log(s);
      // s below 1 here: an error above 0 needs an event
      const factor = widen(-z * error / (s * logS));
      lower[j] = toLower(logS * factor);
      upper[j] = toUpper(logS / factor);
    }
  }
}

const NEAR = 1 / 512;

/**
 * exp, for arguments that move slowly from one call to the next, as along a curve: a series about
 * the last argument that needed the real function. The first term left out is below 1e-19.
 */
function nearbyExp(): (x: number) => number {
  let anchor = NaN;
  let value = NaN;
  return (x) => {
    const d = x - anchor;
    if (d < NEAR && d > -NEAR) {
      const tail = d * (1 / 6 + d * (1 / 24 + d * (1 / 120)));
      return value + value * (d * (1 + d * (0.5 + tail)));
    }
    anchor = x;
    return value = Math.exp(x);
  };
}

/** log in the same way. */
function nearbyLog(): (x: number) => number {
  let anchor = NaN;
  let value = NaN;
  return (x) => {
    const d = (x - anchor) / anchor;
    if (d < NEAR && d > -NEAR) {
      const tail = d * (1 / 3 - d * (1 / 4 - d * (1 / 5 - d * (1 / 6))));
      return value + d * (1 - d * (0.5 - tail));
    }
    anchor = x;
    return value = Math.log(x);
  };
}
