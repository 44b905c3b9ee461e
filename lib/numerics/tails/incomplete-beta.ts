import { deviance, stirlingRest } from "./density-factors.ts";

/**
 * P(X <= x) for a beta variable with shapes a and b, x given with y = 1 - x, so that neither loses
 * its digits to the other. The upper tail is `betaLower(y, x, b, a)`.
 *
 * A continued fraction behind x^a y^b / (a B(a, b)), which is written as the exponential of one
 * small number, not of a difference of large logarithms. Beyond the mean it is one minus the other
 * tail; where that leaves less than a tenth, a series of positive terms.
 *
 * @see DiDonato & Morris (1992) ACM Trans Math Softw 18:360-373; Abramowitz & Stegun (1964) 26.5.4,
 * 26.5.8; Loader (2000), see density-factors.ts.
 */
export function betaLower(x: number, y: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  if (x <= (a + 1) / (a + b + 2)) return below(x, y, a, b);
  const other = below(y, x, b, a);
  return other <= 0.9 ? 1 - other : Math.min(1, front(x, y, a, b) * series(x, a, b));
}

function below(x: number, y: number, a: number, b: number): number {
  const before = front(x, y, a, b);
  return before === 0 ? 0 : Math.min(1, before * fraction(x, a, b));
}

/** x^a y^b / (a B(a, b)) */
function front(x: number, y: number, a: number, b: number): number {
  const n = a + b;
  const exponent = stirlingRest(n) - stirlingRest(a) - stirlingRest(b) -
    deviance(a, n * x) - deviance(b, n * y);
  return Math.exp(exponent) * Math.sqrt(b / (2 * Math.PI * n * a));
}

/** sum of (a + b)_n / (a + 1)_n x^n */
function series(x: number, a: number, b: number): number {
  let sum = 1;
  let term = 1;
  for (let n = 0;; n++) {
    const ratio = x * (a + b + n) / (a + 1 + n);
    term *= ratio;
    sum += term;
    if (ratio < 1 && term < sum * (1 - ratio) * 1e-17) return sum;
  }
}

function fraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / (1 - (a + b) * x / (a + 1));
  let value = d;
  for (let m = 1;; m++) {
    const even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d);
    c = 1 + even / c;
    value *= d * c;
    const odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    const step = d * c;
    value *= step;
    if (Math.abs(step - 1) < 2e-16) return value;
  }
}
