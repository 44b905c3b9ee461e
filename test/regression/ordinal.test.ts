import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import { jointTest } from "../../lib/regression/models/joint-test.ts";
import { logisticRegression } from "../../lib/regression/models/logistic.ts";
import { ordinalRegression } from "../../lib/regression/models/ordinal.ts";
import { assertAllClose, assertClose } from "../close.ts";
import { refusedBy } from "../refused.ts";

const repeat = (values: number[], counts: number[]) =>
  values.flatMap((value, i) => Array.from({ length: counts[i]! }, () => value));

Deno.test("ordinalRegression() gives the odds ratio of the tonsil data", () => {
  // Published data: tonsil size in carriers and non-carriers of Streptococcus pyogenes (Holmes &
  // Williams 1954), the example of McCullagh (1980) JRSS B 42:109-142. Values: reference, base R
  // 4.2.2, nlm on the log-likelihood written out, errors from optimHess (6 digits).
  const carrier = repeat([1, 0], [72, 1326]);
  const outcome = repeat([0, 1, 2, 0, 1, 2], [19, 29, 24, 497, 560, 269]);
  const fit = ordinalRegression({ outcome, covariates: { carrier } });
  const six = { relative: 2e-6, absolute: 0 };
  assertClose(fit.terms[0]!.coefficient, 0.6026492, six);
  assertClose(fit.terms[0]!.standardError, 0.227416, { relative: 1e-5, absolute: 0 });
  assertAllClose(fit.cuts.map((cut) => cut.coefficient), [0.5085091, -1.3627198], six);
  assert.deepEqual(fit.levels, [0, 1, 2]);
  assert.equal(fit.converged, true);
});

const x = [
  [0.22, -0.54, 0.89, 0.6, 1.64, 0.69, -1.28, -0.21, 1.9, 1.78, 0.57, 0.02, 0.38, -0.05, 0.03],
  [0.17, 1.17, -0.04, -0.1, -0.28, 1.54, 0.17, 1.31, 1.29, 0.59, -0.28, 1.26, 0.91, -0.93, 1.24],
  [0.15, 1.05, -0.75, -1.48, 0.86, -0.4, -0.23, 0.93, -0.47, -0.64, 1.34, 0.18, 1.29, -1.69, -0.82],
  [-0.86, 0.1, -0.38, 0.72, -1.8, -0.66, -0.62, -0.08, 0.44, 1.97, -0.6, -0.55, 0.7, -0.16, 1.35],
].flat();
const y = Array.from(
  "003012303210102230103123002321101212011133200000000101101012",
  Number,
);
const group = y.map((_, i) => i % 2);
const patient = y.map((_, i) => Math.floor(i / 3));

Deno.test("ordinalRegression() matches a likelihood maximised elsewhere, clusters included", () => {
  // Reference: base R 4.2.2 on these rows: nlm on the log-likelihood written out (8 digits);
  // errors from optimHess, and from numerical scores summed by patient (5 digits).
  const fit = ordinalRegression({ outcome: y, covariates: { x, group }, cluster: patient });
  const digits = { relative: 2e-6, absolute: 0 };
  assertAllClose(
    fit.cuts.map((cut) => cut.coefficient),
    [0.58842867, -0.78158634, -1.96263459],
    digits,
  );
  assertAllClose(fit.terms.map((term) => term.coefficient), [0.9219782, -0.5297852], digits);
  assertClose(fit.logLikelihood, -72.915079426);
  const five = { relative: 2e-5, absolute: 0 };
  const all = [...fit.cuts, ...fit.terms];
  assertAllClose(
    all.map((one) => one.standardError),
    [0.379123, 0.392022, 0.475703, 0.304236, 0.489066],
    five,
  );
  assertAllClose(
    all.map((one) => one.robustStandardError!),
    [0.345309, 0.380666, 0.54131, 0.310858, 0.472249],
    five,
  );
  const { lower, upper, oddsRatio } = fit.terms[0]!;
  assertClose(Math.sqrt(lower * upper), oddsRatio);
});

Deno.test("ordinalRegression() of two levels is logistic regression (identity)", () => {
  const outcome = y.map((grade) => grade >= 2 ? 1 : 0);
  const weight = y.map((_, i) => 0.5 + (i % 4));
  const given = { covariates: { x, group }, weight, cluster: patient };
  const ordinal = ordinalRegression({ outcome, ...given });
  const logistic = logisticRegression({ outcome, ...given });
  const terms = [...ordinal.cuts, ...ordinal.terms];
  assertAllClose(terms.map((t) => t.coefficient), logistic.terms.map((t) => t.coefficient));
  assertAllClose(ordinal.covariance, logistic.covariance, { relative: 1e-6, absolute: 1e-10 });
  assertAllClose(ordinal.robustCovariance!, logistic.robustCovariance!, {
    relative: 1e-6,
    absolute: 1e-10,
  });
  assertClose(ordinal.logLikelihood, logistic.logLikelihood);
  const [, high] = ordinal.probabilitiesFor({ x: [0.3], group: [1] });
  assertAllClose(high!, logistic.probabilityFor({ x: [0.3], group: [1] }));
});

Deno.test("ordinalRegression() is symmetric, and whole weights are copies (properties)", () => {
  const rows = fc.array(
    fc.record({
      grade: fc.integer({ min: 0, max: 4 }),
      x: fc.integer({ min: -20, max: 20 }).map((v) => v / 10),
      copies: fc.integer({ min: 1, max: 3 }),
    }),
    { minLength: 25, maxLength: 60 },
  );
  fc.assert(
    fc.property(rows, (given) => {
      const outcome = given.map((row) => row.grade);
      fc.pre(new Set(outcome).size > 1);
      const covariates = { x: given.map((row) => row.x) };
      const weight = given.map((row) => row.copies);
      const fit = ordinalRegression({ outcome, covariates, weight });
      fc.pre(fit.converged && fit.terms.length === 1);
      const close = { relative: 1e-6, absolute: 1e-8 };
      const turned = ordinalRegression({ outcome: outcome.map((g) => -g), covariates, weight });
      assertClose(turned.terms[0]!.coefficient, -fit.terms[0]!.coefficient, close);
      const copied = given.flatMap((row) => Array.from({ length: row.copies }, () => row));
      const plain = ordinalRegression({
        outcome: copied.map((row) => row.grade),
        covariates: { x: copied.map((row) => row.x) },
      });
      assertClose(plain.terms[0]!.coefficient, fit.terms[0]!.coefficient, close);
      assertAllClose(plain.covariance, fit.covariance, close);
      const shares = fit.probabilitiesFor({ x: [-1, 0, 2] });
      for (let i = 0; i < 3; i++) {
        assertClose(shares.reduce((sum, share) => sum + share[i]!, 0), 1);
        for (const share of shares) assert.ok(share[i]! >= 0);
      }
    }),
    { numRuns: 40, seed: 3 },
  );
});

Deno.test("ordinalRegression() robust errors hold their level with repeated measures", () => {
  // Identity of a kind: each row three times in one cluster must leave the robust error of the rows
  // taken once, while the model's own error shrinks by the root of 3.
  const once = ordinalRegression({ outcome: y, covariates: { x }, cluster: y.map((_, i) => i) });
  const thrice = [0, 1, 2].flatMap(() => y.map((_, i) => i));
  const fit = ordinalRegression({
    outcome: thrice.map((i) => y[i]!),
    covariates: { x: thrice.map((i) => x[i]!) },
    cluster: thrice,
  });
  assertClose(fit.terms[0]!.robustStandardError!, once.terms[0]!.robustStandardError!);
  assertClose(fit.terms[0]!.standardError, once.terms[0]!.standardError / Math.sqrt(3), {
    relative: 1e-6,
    absolute: 0,
  });
});

Deno.test("ordinalRegression() says where there is no finite estimate, and what it dropped", () => {
  const outcome = [0, 0, 1, 1, 2, 2];
  const apart = ordinalRegression({ outcome, covariates: { dose: [1, 2, 3, 4, 5, 6] } });
  assert.equal(apart.converged, false);
  assert.deepEqual(apart.separated, ["dose"]);
  const doubled = ordinalRegression({
    outcome: y,
    covariates: { x, twice: x.map((v) => 2 * v), flat: x.map(() => 7) },
  });
  assert.deepEqual(doubled.dropped, ["twice", "flat"]);
  assert.equal(doubled.converged, true);
  const far = ordinalRegression({ outcome: y, covariates: { x: x.map((v) => 1e6 + v / 1000) } });
  const near = ordinalRegression({ outcome: y, covariates: { x } });
  assertClose(far.terms[0]!.z, near.terms[0]!.z, { relative: 1e-5, absolute: 0 });
});

Deno.test("ordinalRegression() refuses bad input by name and leaves good input alone", () => {
  const given = Float64Array.from(x);
  ordinalRegression({ outcome: y, covariates: { x: given } });
  assert.deepEqual(Array.from(given), x);
  assert.equal(
    refusedBy(() => ordinalRegression({ outcome: [2, 2], covariates: { x: [1, 2] } })),
    "outcome",
  );
  assert.equal(
    refusedBy(() => ordinalRegression({ outcome: [NaN, 2], covariates: { x: [1, 2] } })),
    "outcome",
  );
  assert.equal(
    refusedBy(() => ordinalRegression({ outcome: [1, 2], covariates: {} })),
    "covariates",
  );
  assert.equal(
    refusedBy(() =>
      ordinalRegression({ outcome: [1, 2], covariates: { x: [1, 2] }, weight: [1, 0] })
    ),
    "weight",
  );
});

Deno.test("jointTest() of one term is its own test, of all terms the quadratic form", () => {
  const fit = ordinalRegression({ outcome: y, covariates: { x, group }, cluster: patient });
  const { z, pValue } = fit.terms[1]!;
  const alone = jointTest(fit, ["group"]);
  assertClose(alone.statistic, z * z);
  assertClose(alone.pValue, pValue);
  // by hand: b' V^-1 b of a 2 x 2 block, after the three cuts
  const v = (a: number, b: number) => fit.robustCovariance![(3 + a) * 5 + 3 + b]!;
  const [b, c] = fit.terms.map((term) => term.coefficient) as [number, number];
  const form = (b * b * v(1, 1) - 2 * b * c * v(0, 1) + c * c * v(0, 0)) /
    (v(0, 0) * v(1, 1) - v(0, 1) ** 2);
  assertClose(jointTest(fit, ["x", "group"]).statistic, form);
  assert.equal(jointTest(fit, ["x", "group"]).degreesOfFreedom, 2);
  assert.throws(() => jointTest(fit, ["absent"]), DataError);
});

Deno.test("ordinalRegression() recovers the odds ratio it was drawn from", () => {
  const random = new SeededRandom(12);
  const n = 100_000;
  const repair = Float64Array.from({ length: n }, () => random.bernoulli(0.5));
  const outcome = repair.map((r) => {
    const u = random.uniform();
    const latent = 0.8 * r + Math.log(u / (1 - u));
    return latent < 0 ? 0 : latent < 1 ? 1 : latent < 2.5 ? 3 : 4;
  });
  const fit = ordinalRegression({ outcome, covariates: { repair } });
  const { coefficient, standardError } = fit.terms[0]!;
  assert.ok(Math.abs(coefficient - 0.8) < 4 * standardError);
  assert.deepEqual(fit.levels, [0, 1, 3, 4]);
  // the rounding of so many terms must not keep Newton's method from ending
  assert.ok(fit.converged && fit.iterations <= 8, `${fit.iterations}`);
});
