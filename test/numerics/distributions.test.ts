import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, distributions } from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { referenceCase } from "../reference/load.ts";

type Column = number[];

/** The values of a function along the columns of a table, its arguments in the order named. */
function along(
  table: Record<string, Column>,
  names: string[],
  of: (...values: number[]) => number,
): number[] {
  return table[names[0]!]!.map((_, i) => of(...names.map((name) => table[name]![i]!)));
}

// Reference: see the cases' sources.
Deno.test("distributions: chi-square tails and quantiles at large degrees of freedom", () => {
  const { expected, tolerance } = referenceCase("chi-square-large");
  const { tails, upperQuantiles, lowerQuantiles } = expected;
  const d = distributions;
  const check = (actual: number[], values: Column, what: string) =>
    assertAllClose(actual, values, tolerance, what);
  check(along(tails, ["x", "df"], d.chiSquareUpper), tails.upper, "upper");
  check(along(tails, ["x", "df"], d.chiSquareLower), tails.lower, "lower");
  const upper = along(upperQuantiles, ["upperP", "df"], d.chiSquareUpperQuantile);
  check(upper, upperQuantiles.x, "upper quantile");
  const lower = along(lowerQuantiles, ["lowerP", "df"], d.chiSquareQuantile);
  check(lower, lowerQuantiles.x, "lower quantile");
});

Deno.test("distributions: Student, F, beta and binomial tails near 1e-290", () => {
  const { expected, tolerance } = referenceCase("tails-near-1e-290");
  const { t, f, beta, binomial, betaQuantiles } = expected;
  const d = distributions;
  const check = (actual: number[], values: Column, what: string) =>
    assertAllClose(actual, values, tolerance, what);
  check(along(t, ["x", "df"], d.studentUpper), t.upper, "t");
  check(along(f, ["x", "df1", "df2"], d.fUpper), f.upper, "F");
  check(along(beta, ["x", "a", "b"], d.betaLower), beta.lower, "beta lower");
  check(along(beta, ["x", "a", "b"], d.betaUpper), beta.upper, "beta upper");
  check(along(binomial, ["k", "n", "p"], d.binomialAtLeast), binomial.atLeast, "at least");
  check(along(binomial, ["k", "n", "p"], d.binomialAtMost), binomial.atMost, "at most");
  check(along(betaQuantiles, ["lowerP", "a", "b"], d.betaQuantile), betaQuantiles.x, "quantile");
});

// Reference: see the case's source; also checked there in 60-digit arithmetic (check-tails.py).
Deno.test("distributions: upper tails agree with the reference to 1e-10 relative", () => {
  const { expected, tolerance } = referenceCase("distribution-tails");
  const at = (name: string, upper: (i: number) => number) =>
    (expected[name].upper as Column).forEach((value, i) =>
      assertClose(upper(i), value, tolerance, `${name}[${i}]`)
    );
  for (const df of [1, 2, 5]) {
    const { x } = expected[`chisq${df}`];
    at(`chisq${df}`, (i) => distributions.chiSquareUpper(x[i], df));
  }
  const { normal, t, f } = expected;
  at("normal", (i) => distributions.normalUpper(normal.x[i]));
  at("t", (i) => distributions.studentUpper(t.x[i], t.df[i]));
  at("f", (i) => distributions.fUpper(f.x[i], f.df1[i], f.df2[i]));
});

// Reference: see the case's source.
Deno.test("distributions: quantiles agree with the reference", () => {
  const { expected, tolerance } = referenceCase("distribution-quantiles");
  const at = (name: string, quantile: (i: number) => number) =>
    (expected[name].x as Column).forEach((value, i) =>
      assertClose(quantile(i), value, tolerance, `${name}[${i}]`)
    );
  const { normal, t, f } = expected;
  at("normal", (i) => distributions.normalUpperQuantile(normal.upperP[i]));
  for (const df of [1, 2, 5]) {
    const { upperP } = expected[`chisq${df}`];
    at(`chisq${df}`, (i) => distributions.chiSquareUpperQuantile(upperP[i], df));
  }
  at("t", (i) => distributions.studentUpperQuantile(t.upperP[i], t.df[i]));
  at("f", (i) => distributions.fUpperQuantile(f.upperP[i], f.df1[i], f.df2[i]));
});

// Identity: a quantile's tail is the probability it was asked for.
Deno.test("distributions: quantiles and tails are inverse to each other", () => {
  const probability = fc.double({ min: 1e-12, max: 1 - 1e-9, noNaN: true });
  const df = fc.double({ min: 0.5, max: 300, noNaN: true });
  const close = { relative: 1e-9, absolute: 1e-14 };
  fc.assert(
    fc.property(probability, df, df, (p, a, b) => {
      const { chiSquareUpper, chiSquareUpperQuantile, chiSquareQuantile } = distributions;
      assertClose(chiSquareUpper(chiSquareUpperQuantile(p, a), a), p, close, "chi-square");
      assertClose(1 - chiSquareUpper(chiSquareQuantile(p, a), a), p, close, "chi-square lower");
      const { studentUpper, studentUpperQuantile, fUpper, fUpperQuantile } = distributions;
      assertClose(studentUpper(studentUpperQuantile(p, a), a), p, close, "t");
      assertClose(fUpper(fUpperQuantile(p, a, b), a, b), p, close, "F");
      assertClose(distributions.normalUpper(distributions.normalUpperQuantile(p)), p, close, "z");
    }),
    { numRuns: 200 },
  );
  fc.assert(
    fc.property(probability, fc.integer({ min: 1, max: 60 }), (p, k) => {
      // P(X >= k) for n = 60 is a beta tail
      const x = distributions.betaQuantile(p, k, 61 - k);
      assertClose(distributions.binomialAtLeast(k, 60, x), p, close, "beta");
    }),
    { numRuns: 200 },
  );
});

// By hand: chi-square with 2 df is exponential; t with 1 df is Cauchy; F(2, 2) is x / (1 + x).
Deno.test("distributions: closed forms", () => {
  const close = { relative: 1e-13, absolute: 0 };
  assertClose(distributions.chiSquareUpper(500, 2), Math.exp(-250), close);
  assertClose(distributions.chiSquareUpperQuantile(1e-300, 2), 600 * Math.LN10, close);
  assertClose(distributions.studentUpper(1e8, 1), 1e-8 / Math.PI, close);
  assertClose(distributions.fUpper(9, 2, 2), 0.1, close);
  assertClose(distributions.betaQuantile(0.25, 2, 1), 0.5, close);
});

Deno.test("distributions: edges", () => {
  assert.equal(distributions.chiSquareUpperQuantile(0, 3), Infinity);
  assert.equal(distributions.chiSquareUpperQuantile(1, 3), 0);
  assert.equal(distributions.studentUpperQuantile(0, 3), Infinity);
  assert.equal(distributions.studentUpperQuantile(0.5, 3), 0);
  assert.equal(distributions.studentUpperQuantile(1, 3), -Infinity);
  assert.equal(distributions.fUpperQuantile(0, 2, 3), Infinity);
  assert.equal(distributions.betaQuantile(0, 2, 3), 0);
  assert.equal(distributions.binomialAtLeast(0, 5, 0.2), 1);
  assert.equal(distributions.binomialAtMost(5, 5, 0.2), 1);
  assert.throws(() => distributions.normalUpper(NaN), DataError);
  assert.throws(() => distributions.chiSquareUpper(1, 0), /df must be a finite number > 0/);
  assert.throws(() => distributions.normalQuantile(1.1), /probability in \[0, 1\]/);
});

Deno.test("distributions at the ends of their ranges", () => {
  const d = distributions;
  assert.deepEqual([d.chiSquareUpper(Infinity, 3), d.chiSquareLower(Infinity, 3)], [0, 1]);
  assert.deepEqual([d.chiSquareUpper(0, 3), d.chiSquareLower(0, 3)], [1, 0]);
  assert.deepEqual([d.studentUpper(Infinity, 3), d.studentUpper(Infinity, 1e7)], [0, 0]);
  for (const [a, b] of [[2, 3], [0.3, 0.4], [1e-3, 1e3]] as const) {
    assert.deepEqual([d.betaLower(0, a, b), d.betaLower(1, a, b)], [0, 1]);
    assert.deepEqual([d.betaUpper(0, a, b), d.betaUpper(1, a, b)], [1, 0]);
  }
});

Deno.test("Student's quantile of many degrees of freedom is that of its tail", () => {
  // From the normal quantile at 10,000 and more; held against the tail, which is
  // worked out otherwise:
  // by a series that loses digits as the degrees of freedom grow, and from a million on by another.
  const within = [[1e4, 1e-12], [12_345.6, 1e-12], [9.9e5, 1e-9], [2e6, 1e-10]] as const;
  for (const [df, relative] of within) {
    for (const p of [0.4, 0.1, 0.025, 1e-3, 1e-6, 1e-9]) {
      const t = distributions.studentUpperQuantile(p, df);
      const what = `${p}, ${df} degrees of freedom`;
      assertClose(distributions.studentUpper(t, df), p, { relative, absolute: 0 }, what);
    }
  }
  const [below, above] = [9999.999999, 10_000]
    .map((df) => distributions.studentUpperQuantile(0.025, df));
  assertClose(above!, below!, { relative: 1e-13, absolute: 0 }, "where the way changes");
});
