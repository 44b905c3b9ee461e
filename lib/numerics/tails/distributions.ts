import erfc from "@stdlib/erfc";
import erfcinv from "@stdlib/erfcinv";
import { checkNumber } from "../columns/mod.ts";
import { betaLower } from "./incomplete-beta.ts";
import { gammaTails } from "./incomplete-gamma.ts";
import { invertTail } from "./invert-tail.ts";

/**
 * Tail probabilities and quantiles.
 *
 * Every tail is computed as the tail, never as one minus the other tail, so small p values keep
 * their digits: 1e-10 relative down to 1e-280, for degrees of freedom from 0.1 to 1e7 and shapes
 * from 0.05. Quantiles that end in `UpperQuantile` take the upper-tail probability.
 *
 * Every function throws a {@link DataError} for NaN or a parameter out of range.
 */
export const distributions = {
  /** P(Z > z), standard normal. */
  normalUpper(z: number): number {
    real("z", z);
    return erfc(z / Math.SQRT2) / 2;
  },

  /** P(Z <= z), standard normal. */
  normalLower(z: number): number {
    real("z", z);
    return erfc(-z / Math.SQRT2) / 2;
  },

  /** Two-sided p value of a standard normal statistic, P(|Z| >= |z|). */
  normalTwoSided(z: number): number {
    real("z", z);
    return erfc(Math.abs(z) / Math.SQRT2);
  },

  /** z with P(Z <= z) = p. */
  normalQuantile(p: number): number {
    return -distributions.normalUpperQuantile(probability("p", p));
  },

  /** z with P(Z > z) = p. */
  normalUpperQuantile(p: number): number {
    probability("p", p);
    const z = Math.SQRT2 * erfcinv(2 * p);
    return refine(z, p, (x) => erfc(x / Math.SQRT2) / 2, normalDensity);
  },

  /** P(X > x), chi-square with df degrees of freedom. */
  chiSquareUpper(x: number, df: number): number {
    positive("df", df);
    return real("x", x) <= 0 ? 1 : gammaTails(x / 2, df / 2).upper;
  },

  /** P(X <= x), chi-square with df degrees of freedom. */
  chiSquareLower(x: number, df: number): number {
    positive("df", df);
    return real("x", x) <= 0 ? 0 : gammaTails(x / 2, df / 2).lower;
  },

  /** x with P(X <= x) = p, chi-square. */
  chiSquareQuantile(p: number, df: number): number {
    positive("df", df);
    probability("p", p);
    return p > 0.5 ? chiSquareFromUpper(1 - p, df) : chiSquareFromLower(p, df);
  },

  /** x with P(X > x) = p, chi-square. */
  chiSquareUpperQuantile(p: number, df: number): number {
    positive("df", df);
    probability("p", p);
    return p > 0.5 ? chiSquareFromLower(1 - p, df) : chiSquareFromUpper(p, df);
  },

  /** P(T > t), Student with df degrees of freedom (not necessarily whole). */
  studentUpper(t: number, df: number): number {
    positive("df", df);
    real("t", t);
    if (t < 0) return 1 - distributions.studentUpper(-t, df);
    if (t === Infinity) return 0;
    if (df >= 1e6) return distributions.normalUpper(normalOfStudent(t, df));
    // t^2 as a share of df + t^2 and the rest, neither as one minus the other, no square on its own
    const root = t / Math.sqrt(df);
    const share = root > 1 ? 1 / (1 + 1 / root / root) : root * root / (1 + root * root);
    const rest = root > 1 ? 1 / root / root / (1 + 1 / root / root) : 1 / (1 + root * root);
    if (rest > 1e-280) return betaLower(rest, share, df / 2, 0.5) / 2;
    // so far out the tail is its leading term, t^-df times a constant; take it at a nearer point
    const near = 1e100 * Math.sqrt(df);
    return distributions.studentUpper(near, df) * Math.pow(near / t, df);
  },

  /** Two-sided p value, P(|T| >= |t|). */
  studentTwoSided(t: number, df: number): number {
    return 2 * distributions.studentUpper(Math.abs(t), df);
  },

  /** t with P(T > t) = p. */
  studentUpperQuantile(p: number, df: number): number {
    positive("df", df);
    probability("p", p);
    if (p > 0.5) return -distributions.studentUpperQuantile(1 - p, df);
    if (p === 0.5) return 0;
    if (p === 0) return Infinity;
    const z = distributions.normalUpperQuantile(p);
    if (df >= 1e4 && z <= 6) return studentOfNormal(z, df);
    const near = df > 3 && z > 0.1 && z < 6 ? Math.log(studentOfNormal(z, df)) : undefined;
    return Math.exp(
      invertTail((u) => distributions.studentUpper(Math.exp(u), df), p, "falling", near),
    );
  },

  /** P(F > x), F with d1 and d2 degrees of freedom. */
  fUpper(x: number, d1: number, d2: number): number {
    positive("d1", d1);
    positive("d2", d2);
    if (real("x", x) <= 0) return 1;
    if (x === Infinity) return 0;
    const ratio = d1 / d2 * x;
    return betaLower(1 / (1 + ratio), 1 / (1 + 1 / ratio), d2 / 2, d1 / 2);
  },

  /** x with P(F > x) = p. */
  fUpperQuantile(p: number, d1: number, d2: number): number {
    positive("d1", d1);
    positive("d2", d2);
    probability("p", p);
    if (p === 0 || p === 1) return p === 0 ? Infinity : 0;
    return Math.exp(
      p > 0.5
        // the lower tail of F(d1, d2) is the upper tail of F(d2, d1) at 1 / x
        ? invertTail((u) => distributions.fUpper(Math.exp(-u), d2, d1), 1 - p, "rising")
        : invertTail((u) => distributions.fUpper(Math.exp(u), d1, d2), p, "falling"),
    );
  },

  /** x with P(X <= x) = p, beta with shapes a and b. */
  betaQuantile(p: number, a: number, b: number): number {
    positive("a", a);
    positive("b", b);
    probability("p", p);
    if (p === 0 || p === 1) return p;
    // on the scale of log(x / (1 - x)), where neither x nor 1 - x loses digits
    const tail = (u: number, upper: boolean) => {
      const x = 1 / (1 + Math.exp(-u));
      const y = 1 / (1 + Math.exp(u));
      return upper ? betaLower(y, x, b, a) : betaLower(x, y, a, b);
    };
    const near = betaOfNormal(distributions.normalUpperQuantile(p), a, b);
    const u = p > 0.5
      ? invertTail((v) => tail(v, true), 1 - p, "falling", near)
      : invertTail((v) => tail(v, false), p, "rising", near);
    return 1 / (1 + Math.exp(-u));
  },

  /** P(X <= x), beta with shapes a and b. */
  betaLower(x: number, a: number, b: number): number {
    positive("a", a);
    positive("b", b);
    return betaLower(real("x", x), 1 - x, a, b);
  },

  /** P(X > x), beta with shapes a and b. */
  betaUpper(x: number, a: number, b: number): number {
    positive("a", a);
    positive("b", b);
    return betaLower(1 - real("x", x), x, b, a);
  },

  /** P(X >= k), binomial with n trials of probability p. */
  binomialAtLeast(k: number, n: number, p: number): number {
    probability("p", p);
    if (k <= 0) return 1;
    return k > n ? 0 : betaLower(p, 1 - p, k, n - k + 1);
  },

  /** P(X <= k), binomial with n trials of probability p. */
  binomialAtMost(k: number, n: number, p: number): number {
    probability("p", p);
    if (k < 0) return 0;
    return k >= n ? 1 : betaLower(1 - p, p, n - k, k + 1);
  },
};

function chiSquareFromUpper(p: number, df: number): number {
  if (p === 0) return Infinity;
  return 2 * Math.exp(invertTail((u) => gammaTails(Math.exp(u), df / 2).upper, p, "falling"));
}

function chiSquareFromLower(p: number, df: number): number {
  if (p === 0) return 0;
  return 2 * Math.exp(invertTail((u) => gammaTails(Math.exp(u), df / 2).lower, p, "rising"));
}

function normalDensity(x: number): number {
  return Math.exp(-x * x / 2) / Math.sqrt(2 * Math.PI);
}

/** One Newton step on log(tail), which repairs the last digits of an inverse. */
function refine(
  x: number,
  p: number,
  upper: (x: number) => number,
  density: (x: number) => number,
): number {
  if (!Number.isFinite(x)) return x;
  const tail = upper(x);
  const slope = density(x);
  return tail > 0 && slope > 0 ? x + tail * Math.log(tail / p) / slope : x;
}

function real(name: string, value: number): number {
  return checkNumber(name, value, (v) => !Number.isNaN(v), "a number");
}

function positive(name: string, value: number): number {
  return checkNumber(name, value, (v) => v > 0 && v < Infinity, "a finite number > 0");
}

function probability(name: string, value: number): number {
  return checkNumber(name, value, (v) => v >= 0 && v <= 1, "a probability in [0, 1]");
}

/**
 * The normal value with the same upper tail as t, for many degrees of freedom, where the continued
 * fraction of the beta tail takes too long, and for ever beyond 1e14.
 *
 * @see Hill (1970) Commun ACM 13:617-619 (algorithm 395); from 1e6 degrees of freedom on what it
 * leaves out is below 1e-15 of z.
 */
function normalOfStudent(t: number, df: number): number {
  const a = df - 0.5;
  const root = t / Math.sqrt(df);
  // beyond 1e150 the square is too large, and the logarithm that of the square
  const log = root < 1e150 ? Math.log1p(root * root) : 2 * Math.log(root);
  const square = a * log;
  const b = 48 * a * a;
  const late = ((0.4 * square + 3.3) * square + 24) * square + 85.5;
  const shift = (square + 3 - late / (0.8 * square * square + 100 + b)) / b;
  return (1 + shift) * Math.sqrt(square);
}

/**
 * Student's quantile from the normal one, as far as 1 / df^4: for 10,000 degrees of freedom and
 * more and z up to 6 what is left out is below rounding, and the cost does not grow with df.
 *
 * @see Abramowitz & Stegun (1964) 26.7.5.
 */
function studentOfNormal(z: number, df: number): number {
  const s = z * z;
  const first = (s + 1) / 4;
  const second = ((5 * s + 16) * s + 3) / 96;
  const third = (((3 * s + 19) * s + 17) * s - 15) / 384;
  const fourth = ((((79 * s + 776) * s + 1482) * s - 1920) * s - 945) / 92_160;
  return z * (1 + (first + (second + (third + fourth / df) / df) / df) / df);
}

/**
 * About where a beta variable has the lower tail that the normal one has above z, as the logit; not
 * known for the smallest shapes.
 *
 * @see Abramowitz & Stegun (1964) 26.5.22.
 */
function betaOfNormal(z: number, a: number, b: number): number | undefined {
  if (!(a > 1 && b > 1) || Math.abs(z) > 6) return undefined;
  const [first, second] = [1 / (2 * a - 1), 1 / (2 * b - 1)];
  const h = 2 / (first + second);
  const shift = (z * z - 3) / 6;
  const w = z * Math.sqrt(Math.max(0, h + shift)) / h -
    (second - first) * (shift + 5 / 6 - 2 / (3 * h));
  return Math.log(a / b) - 2 * w;
}
