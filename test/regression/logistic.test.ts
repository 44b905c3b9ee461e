import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, logisticRegression, SeededRandom } from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

function sample(seed: number, n: number) {
  const random = new SeededRandom(seed);
  const x = new Float64Array(n);
  const z = new Float64Array(n);
  const outcome = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    x[i] = random.normal();
    z[i] = random.bernoulli(0.4);
    outcome[i] = random.bernoulli(1 / (1 + Math.exp(0.3 - 0.8 * x[i]! + 0.5 * z[i]!)));
  }
  return { outcome, covariates: { x, z } };
}

// Reference: see the case's source (R 4.2.2, stats::glm).
Deno.test("logisticRegression() agrees with the reference on the haemorrhage data", () => {
  const { expected, tolerance } = referenceCase("logistic-asah");
  const rows = referenceRows("asah.csv");
  const covariates = Object.fromEntries(
    ["age", "female", "wfns", "s100b"].map((name) => [name, numeric(rows, name)]),
  );
  const fit = logisticRegression({ outcome: numeric(rows, "poor"), covariates });
  assert.equal(fit.converged, true);
  assert.deepEqual(fit.terms.map((t) => t.name), ["(constant)", "age", "female", "wfns", "s100b"]);
  assertAllClose(fit.terms.map((t) => t.coefficient), expected.coef, tolerance, "coefficient");
  assertAllClose(fit.terms.map((t) => t.standardError), expected.se, tolerance, "standard error");
  assertAllClose(fit.terms.map((t) => t.z), expected.z, tolerance, "z");
  assertAllClose(fit.terms.map((t) => t.pValue), expected.p, tolerance, "p");
  assertAllClose(fit.covariance, expected.covariance.flat(), tolerance, "covariance");
  assertClose(fit.deviance, expected.deviance, tolerance);
  assertClose(-2 * fit.logLikelihoodNull, expected.nullDeviance, tolerance);
  assertClose(fit.logLikelihood, expected.loglik, tolerance);
  assertAllClose(fit.fitted.subarray(0, 10), expected.firstFitted, tolerance, "fitted");
  assertAllClose(fit.probabilityFor(covariates), fit.fitted, { relative: 1e-12, absolute: 0 });
});

// By hand: in a 2 x 2 table the odds ratio is ad / bc and var(log OR) = 1/a + 1/b + 1/c + 1/d.
Deno.test("logisticRegression() gives the odds ratio of a 2 x 2 table", () => {
  const outcome: number[] = [];
  const exposed: number[] = [];
  for (const [y, x, count] of [[1, 1, 12], [0, 1, 8], [1, 0, 5], [0, 0, 15]] as const) {
    for (let i = 0; i < count; i++) {
      outcome.push(y);
      exposed.push(x);
    }
  }
  const fit = logisticRegression({ outcome, covariates: { exposed } });
  assertClose(fit.terms[1]!.oddsRatio, 12 * 15 / (8 * 5));
  assertClose(fit.terms[1]!.standardError, Math.sqrt(1 / 12 + 1 / 8 + 1 / 5 + 1 / 15));
  assertClose(fit.terms[0]!.coefficient, Math.log(5 / 15));
});

// Identity: a weight of 2 is the row twice, but for the robust variance.
Deno.test("logisticRegression() takes a weight of 2 as the row twice", () => {
  const { outcome, covariates } = sample(3, 60);
  const weight = outcome.map((_, i) => 1 + i % 2);
  const twice = <T extends ArrayLike<number>>(column: T) =>
    Array.from(column).flatMap((value, i) => Array(weight[i]).fill(value) as number[]);
  const weighted = logisticRegression({ outcome, covariates, weight });
  const repeated = logisticRegression({
    outcome: twice(outcome),
    covariates: { x: twice(covariates.x), z: twice(covariates.z) },
    cluster: outcome.length ? twice(Array.from(outcome, (_, i) => i)) : [],
  });
  for (let j = 0; j < 3; j++) {
    assertClose(weighted.terms[j]!.coefficient, repeated.terms[j]!.coefficient);
    assertClose(weighted.terms[j]!.standardError, repeated.terms[j]!.standardError);
    assertClose(weighted.terms[j]!.robustStandardError!, repeated.terms[j]!.robustStandardError!);
  }
});

// By hand, in matrix form: (X'WX)^-1 (sum over clusters of u u') (X'WX)^-1, written out naively.
Deno.test("logisticRegression() clusters the robust variance", () => {
  const { outcome, covariates } = sample(5, 80);
  const cluster = Array.from(outcome, (_, i) => `c${i % 17}`);
  const fit = logisticRegression({ outcome, covariates, cluster });
  const design = Array.from(outcome, (_, i) => [1, covariates.x[i]!, covariates.z[i]!]);
  const meat = Array.from({ length: 9 }, () => 0);
  for (const name of new Set(cluster)) {
    const u = [0, 0, 0];
    design.forEach((row, i) => {
      if (cluster[i] === name) {
        row.forEach((v, j) => u[j]! += v * (outcome[i]! - fit.fitted[i]!));
      }
    });
    for (let j = 0; j < 3; j++) for (let k = 0; k < 3; k++) meat[j * 3 + k]! += u[j]! * u[k]!;
  }
  for (let j = 0; j < 3; j++) {
    let variance = 0;
    for (let a = 0; a < 3; a++) {
      for (let b = 0; b < 3; b++) {
        variance += fit.covariance[j * 3 + a]! * meat[a * 3 + b]! * fit.covariance[b * 3 + j]!;
      }
    }
    assertClose(fit.terms[j]!.robustStandardError!, Math.sqrt(variance));
    assertClose(fit.terms[j]!.z, fit.terms[j]!.coefficient / Math.sqrt(variance));
  }
});

// Identity: the likelihood equations of logistic regression.
Deno.test("logisticRegression() makes fitted and observed totals agree for every covariate", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 1000 }), (seed) => {
      const { outcome, covariates } = sample(seed, 120);
      const fit = logisticRegression({ outcome, covariates });
      for (const column of [covariates.x, covariates.z, new Float64Array(120).fill(1)]) {
        let gap = 0;
        column.forEach((value, i) => gap += value * (outcome[i]! - fit.fitted[i]!));
        assert.ok(Math.abs(gap) < 1e-8, `gap ${gap}`);
      }
    }),
    { numRuns: 50 },
  );
});

// Identity: shifting and scaling a covariate changes nothing but its unit.
Deno.test("logisticRegression() does not mind a covariate far from 0", () => {
  const { outcome, covariates } = sample(7, 200);
  const plain = logisticRegression({ outcome, covariates });
  const far = covariates.x.map((x) => 1e6 + x * 1e-3);
  const moved = logisticRegression({ outcome, covariates: { x: far, z: covariates.z } });
  assert.equal(moved.converged, true);
  // x * 1e-3 keeps 7 of its digits beside 1e6
  assertClose(moved.terms[1]!.coefficient * 1e-3, plain.terms[1]!.coefficient, {
    relative: 1e-6,
    absolute: 0,
  });
  assertClose(moved.terms[2]!.standardError, plain.terms[2]!.standardError, {
    relative: 1e-6,
    absolute: 0,
  });
});

Deno.test("logisticRegression() names a covariate that separates, and only that one", () => {
  const { outcome, covariates } = sample(11, 100);
  // everyone with the mark has outcome 1: quasi-complete separation
  const mark = outcome.map((y, i) => y === 1 && i % 3 === 0 ? 1 : 0);
  const fit = logisticRegression({ outcome, covariates: { ...covariates, mark } });
  assert.equal(fit.converged, false);
  assert.deepEqual(fit.separated, ["mark"]);
  assert.match(fit.reason!, /no finite estimate/);
  const complete = logisticRegression({ outcome: [0, 0, 1, 1], covariates: { x: [1, 2, 3, 4] } });
  assert.equal(complete.converged, false);
  assert.deepEqual(complete.separated, ["x"]);
});

Deno.test("logisticRegression() does not cry separation at a strong effect", () => {
  const random = new SeededRandom(2);
  const x = Float64Array.from({ length: 4000 }, () => 12 * random.normal());
  const outcome = x.map((v) => random.bernoulli(1 / (1 + Math.exp(-2 * v))));
  const fit = logisticRegression({ outcome, covariates: { x } });
  assert.equal(fit.converged, true);
  assert.deepEqual(fit.separated, []);
  assert.ok(Math.abs(fit.terms[1]!.coefficient - 2) < 4 * fit.terms[1]!.standardError);
});

Deno.test("logisticRegression() leaves out and names collinear and constant covariates", () => {
  const { outcome, covariates } = sample(13, 100);
  const both = covariates.x.map((x, i) => 2 * x - 3 * covariates.z[i]!);
  const one = covariates.x.map(() => 0.1);
  const fit = logisticRegression({ outcome, covariates: { one, ...covariates, both } });
  assert.deepEqual(fit.dropped, ["one", "both"]);
  assert.deepEqual(fit.terms.map((t) => t.name), ["(constant)", "x", "z"]);
  assert.equal(fit.converged, true);
  const plain = logisticRegression({ outcome, covariates });
  assertClose(fit.terms[1]!.coefficient, plain.terms[1]!.coefficient);
});

Deno.test("logisticRegression() says what is wrong and where", () => {
  const x = [1, 2, 3, 4];
  const outcome = [0, 1, 0, 1];
  const run = (data: Parameters<typeof logisticRegression>[0]) => () => logisticRegression(data);
  assert.throws(run({ outcome, covariates: { x: [1, NaN, 3, 4] } }), /covariates\.x\[1\].*NaN/);
  assert.throws(run({ outcome: [0, 1, 2, 1], covariates: { x } }), /outcome\[2\] must be 0 or 1/);
  assert.throws(run({ outcome: [1, 1, 1, 1], covariates: { x } }), /0 in some rows/);
  assert.throws(run({ outcome, covariates: {} }), DataError);
  assert.throws(run({ outcome, covariates: { x: [1, 2] } }), /of length 4/);
  assert.throws(run({ outcome, covariates: { x }, weight: [1, 1, 0, 1] }), /weight\[2\]/);
  assert.throws(run({ outcome: [], covariates: { x: [] } }), DataError);
});

Deno.test("logisticRegression() leaves its input alone", () => {
  const { outcome, covariates } = sample(17, 50);
  const before = covariates.x.slice();
  logisticRegression({ outcome, covariates });
  assert.deepEqual(covariates.x, before);
});

// Identity: the likelihood has one top, wherever the climb begins.
Deno.test("logisticRegression() comes to the same end from a fit to other rows", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 1000 }),
      fc.integer({ min: 1, max: 1000 }),
      (one, other) => {
        const data = sample(one, 120);
        const given = { outcome: data.outcome, covariates: data.covariates };
        const from = logisticRegression(sample(other, 150));
        const [cold, warm] = [logisticRegression(given), logisticRegression(given, { from })];
        assert.equal(warm.converged, cold.converged);
        assertClose(warm.logLikelihood, cold.logLikelihood);
        cold.terms.forEach((term, j) => {
          assertClose(warm.terms[j]!.coefficient, term.coefficient);
          assertClose(warm.terms[j]!.standardError, term.standardError, {
            relative: 1e-5,
            absolute: 0,
          });
        });
      },
    ),
    { numRuns: 50 },
  );
});

Deno.test("logisticRegression() proves separation from another fit too, and begins nowhere odd", () => {
  const { outcome, covariates } = sample(11, 100);
  const mark = outcome.map((y, i) => y === 1 && i % 3 === 0 ? 1 : 0);
  const other = sample(12, 100).covariates.x.map((x, i) => x > 0 && i % 3 === 0 ? 1 : 0);
  const apart = { outcome, covariates: { ...covariates, mark } };
  const from = logisticRegression({ outcome, covariates: { ...covariates, mark: other } });
  assert.deepEqual(logisticRegression(apart, { from }).separated, ["mark"]);
  // other covariates, or no estimate: as without it
  const plain = logisticRegression({ outcome, covariates });
  for (const odd of [from, logisticRegression(apart)]) {
    assert.deepEqual(
      logisticRegression({ outcome, covariates }, { from: odd }).terms,
      plain.terms,
    );
  }
  // far from where it ends: no higher than 0 is
  const far = plain.terms.map((term) => ({ ...term, coefficient: 30 }));
  const { terms } = logisticRegression({ outcome, covariates }, {
    from: { terms: far, converged: true },
  });
  assert.deepEqual(terms, plain.terms);
});
