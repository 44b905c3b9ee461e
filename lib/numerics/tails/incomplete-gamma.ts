import { deviance, stirlingRest } from "./density-factors.ts";

/**
 * Both tails of a gamma variable of the given shape and scale 1 at x > 0, each computed as the tail
 * it is wherever it is below a half.
 *
 * Below shape + 1 the power series of the lower tail, all terms positive; from there on the
 * continued fraction of the upper tail. Both stand behind x^a e^-x / Gamma(a + 1), which is written
 * as the exponential of one small number, not of a difference of large logarithms: no library on
 * the registry does so at every size, and at a shape of 5 million theirs loses six digits. Near the
 * mean either takes some 5 sqrt(shape) terms.
 *
 * @see DiDonato & Morris (1986) ACM Trans Math Softw 12:377-393; Abramowitz & Stegun (1964) 6.5.29,
 * 6.5.31; continued fraction by Lentz's method (Thompson & Barnett 1986, J Comput Phys 64:490-509).
 */
export function gammaTails(x: number, shape: number): { lower: number; upper: number } {
  if (x === Infinity) return { lower: 1, upper: 0 };
  const front = Math.exp(-deviance(shape, x) - stirlingRest(shape)) /
    Math.sqrt(2 * Math.PI * shape);
  if (x < shape + 1) {
    const lower = Math.min(1, front === 0 ? 0 : front * lowerSeries(x, shape));
    return { lower, upper: 1 - lower };
  }
  const upper = Math.min(1, front === 0 ? 0 : front * shape * upperFraction(x, shape));
  return { lower: 1 - upper, upper };
}

/** 1 + x/(a + 1) + x^2/((a + 1)(a + 2)) + ... */
function lowerSeries(x: number, shape: number): number {
  let sum = 1;
  let term = 1;
  for (let n = 1;; n++) {
    term *= x / (shape + n);
    sum += term;
    if (term < sum * 1e-17) return sum;
  }
}

/** 1/(x + 1 - a - 1(1 - a)/(x + 3 - a - 2(2 - a)/(x + 5 - a - ...))) */
function upperFraction(x: number, shape: number): number {
  let b = x + 1 - shape;
  let c = Infinity;
  let d = 1 / b;
  let value = d;
  for (let i = 1;; i++) {
    const a = -i * (i - shape);
    b += 2;
    d = 1 / (a * d + b);
    c = b + a / c;
    const step = c * d;
    value *= step;
    if (Math.abs(step - 1) < 2e-16) return value;
  }
}
