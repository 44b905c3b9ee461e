import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, linearRegression, SeededRandom, splineBasis } from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

const rows = referenceRows("change.csv");
const outcome = numeric(rows, "change");
const covariates = { before: numeric(rows, "before"), age: numeric(rows, "age") };

// Reference: see the case's source.
Deno.test("linearRegression() agrees with the reference under every kind of error", () => {
  const { expected, tolerance } = referenceCase("linear-change");
  const cluster = rows.map(({ surgeon }) => surgeon!);
  const fits = {
    equal: linearRegression({ outcome, covariates }, { errors: "equal-variance" }),
    robust: linearRegression({ outcome, covariates }),
    cluster: linearRegression({ outcome, covariates, cluster }),
    weighted: linearRegression({ outcome, covariates, weight: numeric(rows, "w") }),
  };
  for (const [name, fit] of Object.entries(fits)) {
    const one = expected[name];
    assertAllClose(fit.terms.map((t) => t.coefficient), one.coef, tolerance, `${name} coefficient`);
    assertAllClose(fit.terms.map((t) => t.standardError), one.se, tolerance, `${name} error`);
    assertAllClose(fit.terms.map((t) => t.pValue), one.p, { relative: 1e-7, absolute: 0 }, name);
    assertAllClose(fit.covariance, one.covariance, { relative: 1e-8, absolute: 1e-12 }, name);
    assert.equal(fit.degreesOfFreedom, one.df);
    assertClose(fit.residualDeviation, one.sigma, tolerance);
    const at = fit.meanFor({ before: [60], age: [70] });
    assertClose(at.estimate[0]!, one.mean60_70, tolerance);
    assertClose(at.standardError[0]!, one.se60_70, tolerance);
  }
  assertClose(fits.robust.explained, expected.explained, tolerance);
});

// By hand: through (0, 0), (1, 2), (2, 1): slope 1/2, constant 1/2.
Deno.test("linearRegression() of three points", () => {
  const fit = linearRegression({ outcome: [0, 2, 1], covariates: { x: [0, 1, 2] } });
  assertAllClose(fit.terms.map(({ coefficient }) => coefficient), [0.5, 0.5]);
  assertAllClose(fit.residuals, [-0.5, 1, -0.5]);
  // one degree of freedom: the 97.5th percentile of Student's t is tan(0.475 pi), of Cauchy's law
  const t = Math.tan(0.475 * Math.PI);
  for (const { coefficient, standardError, lower, upper } of fit.terms) {
    assertClose(upper, coefficient + t * standardError);
    assertClose(lower, coefficient - t * standardError);
  }
  const even = { outcome: [0, 2, 1], covariates: { x: [0, 1, 2] } };
  const [, slope] = linearRegression(even, { errors: "equal-variance", confidence: 0.5 }).terms;
  // residual variance 1.5, spread of x 2; the quartile of Cauchy's law is 1
  assertClose(slope!.upper, 0.5 + Math.sqrt(1.5 / 2));
});

// Identity: units and places of origin of the columns change no fitted value.
Deno.test("linearRegression() keeps its fitted values under other units", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.01, max: 1000, noNaN: true }),
      fc.double({ min: -1e4, max: 1e4, noNaN: true }),
      (unit, origin) => {
        const one = linearRegression({ outcome, covariates });
        const before = covariates.before.map((x) => origin + unit * x);
        const other = linearRegression({ outcome, covariates: { ...covariates, before } });
        const close = { relative: 1e-7, absolute: 1e-7 };
        assertAllClose(other.fitted, one.fitted, close);
        assertClose(other.terms[1]!.standardError * unit, one.terms[1]!.standardError, close);
      },
    ),
    { numRuns: 30 },
  );
});

// Hard edges: collinear and constant columns, a row of its own, splines far from 0.
Deno.test("linearRegression() leaves out what says nothing new", () => {
  const twice = covariates.before.map((x) => 2 * x - 7);
  const fit = linearRegression({
    outcome,
    covariates: { ...covariates, twice, constant: outcome.map(() => 3) },
  });
  assert.deepEqual(fit.dropped, ["twice", "constant"]);
  const only = outcome.map((_, i) => i === 5 ? 1 : 0);
  const alone = linearRegression({ outcome, covariates: { ...covariates, only } });
  assert.ok(alone.terms[3]!.standardError > 1);
  const knots = [50, 57, 63, 70];
  const far = splineBasis(covariates.before.map((x) => 1000 + x), knots.map((k) => 1000 + k));
  const near = splineBasis(covariates.before, knots);
  const fitOf = (columns: Float64Array[]) =>
    linearRegression({
      outcome,
      covariates: Object.fromEntries(columns.map((column, k) => [`s${k}`, column])),
    }).fitted;
  assertAllClose(fitOf(far), fitOf(near), { relative: 1e-8, absolute: 1e-8 });
});

// By simulation: spread that grows with x. 95% limits of the slope over 1000 samples of 60.
Deno.test("linearRegression() covers the slope where variances differ", () => {
  const random = new SeededRandom(3);
  let covered = 0;
  for (let sample = 0; sample < 1000; sample++) {
    const x = Float64Array.from({ length: 60 }, () => random.exponential());
    const y = x.map((value) => 1 + 0.5 * value + (0.3 + value) * random.normal());
    const [, slope] = linearRegression({ outcome: y, covariates: { x } }).terms;
    if (slope!.lower <= 0.5 && 0.5 <= slope!.upper) covered++;
  }
  // binomial(1000, 0.95) within four errors of 28
  assert.ok(covered > 922 && covered < 978, `${covered} of 1000`);
});

Deno.test("linearRegression() says what is wrong with its input", () => {
  assert.throws(
    () => linearRegression({ outcome: [1, NaN, 2], covariates: { x: [1, 2, 3] } }),
    new DataError("outcome", "a finite number", NaN, 1),
  );
  assert.throws(
    () => linearRegression({ outcome: [1, 2], covariates: { x: [1, 2] } }),
    new DataError("outcome", "more than 2 rows, the model's terms", 2),
  );
  const fit = linearRegression({ outcome, covariates });
  assert.throws(() => fit.meanFor({ before: [60] }), DataError);
});
