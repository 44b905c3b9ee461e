import assert from "node:assert/strict";
import fc from "fast-check";
import {
  balancingWeights,
  DataError,
  effectiveSampleSize,
  entropyWeights,
  estimandInWords,
  propensityScore,
  rocCurve,
  SeededRandom,
  standardizedDifference,
  varianceRatio,
} from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

const names = ["age", "educ", "black", "hispan", "married", "nodegree", "re74", "re75"];
const rows = referenceRows("lalonde.csv");
const treated = numeric(rows, "treat");
const covariates = Object.fromEntries(names.map((name) => [name, numeric(rows, name)]));

// Reference: see the case's source.
Deno.test("propensityScore() agrees with the reference on the labour-training data", () => {
  const { expected, tolerance } = referenceCase("ps-lalonde-logistic");
  const { score, linearPredictor, fit } = propensityScore({ treated, covariates });
  assertAllClose(fit.terms.map((t) => t.coefficient), expected.coef, tolerance, "coefficient");
  assertAllClose(fit.terms.map((t) => t.standardError), expected.se, tolerance, "se");
  assertAllClose(fit.covariance, expected.covariance.flat(), tolerance, "covariance");
  assertClose(fit.deviance, expected.deviance, tolerance);
  const { psSummary: summary } = expected;
  assertAllClose(
    summary.rows.map((row: number) => score[row - 1]!),
    summary.psAtRows,
    tolerance,
    "score",
  );
  assertClose(Math.min(...score), summary.min, tolerance);
  assertClose(Math.max(...score), summary.max, tolerance);
  const mean = linearPredictor.reduce((sum, x) => sum + x, 0) / 614;
  const squares = linearPredictor.reduce((sum, x) => sum + (x - mean) ** 2, 0);
  assertClose(Math.sqrt(squares / 613), summary.sdLogit, tolerance);
  assertClose(
    rocCurve({ outcome: treated, score }).area.estimate,
    summary.aucOfScore,
    tolerance,
  );
});

Deno.test("propensityScore() names the treatment when it is at fault", () => {
  const x = [1, 2, 3];
  assert.throws(
    () => propensityScore({ treated: [1, 1, 1], covariates: { x } }),
    /^DataError: tre/,
  );
  assert.throws(() => propensityScore({ treated: [0, 2, 1], covariates: { x } }), /treated\[1\]/);
});

Deno.test("propensityScore() of groups that are told apart stays between 0 and 1", () => {
  const told = [0, 0, 0, 1, 1, 1];
  const x = [1, 2, 3, 1e6, 2e6, 3e6];
  const { score, fit } = propensityScore({ treated: told, covariates: { x } });
  assert.deepEqual(fit.separated, ["x"]);
  assert.ok(score.every((e) => e > 0 && e < 1), String(score));
  const weight = balancingWeights({ treated: told, score }, { estimand: "overlap" });
  assert.ok(weight.every((w) => w > 0));
});

// Reference: see the case's source.
Deno.test("balancingWeights() agree with the reference for every estimand", () => {
  const { expected, tolerance } = referenceCase("ps-weights-lalonde");
  const { score } = propensityScore({ treated, covariates });
  const at = [1, 100, 185, 186, 300, 614];
  const kinds = {
    ate: { estimand: "everyone" },
    att: { estimand: "treated" },
    overlap: { estimand: "overlap" },
    ateStabilized: { estimand: "everyone", stabilized: true },
  } as const;
  for (const [key, options] of Object.entries(kinds)) {
    const want = expected[key];
    const weight = balancingWeights({ treated, score }, options);
    assertAllClose(at.map((row) => weight[row - 1]!), want.weightAtRows, tolerance, key);
    const one = weight.filter((_, i) => treated[i] === 1);
    const zero = weight.filter((_, i) => treated[i] === 0);
    assertClose(one.reduce((a, b) => a + b), want.sumTreated, tolerance);
    assertClose(zero.reduce((a, b) => a + b), want.sumControl, tolerance);
    assertClose(Math.max(...weight), want.maxWeight, tolerance);
    assertClose(effectiveSampleSize(one), want.essTreated, tolerance);
    assertClose(effectiveSampleSize(zero), want.essControl, tolerance);
    names.forEach((name, j) => {
      assert.equal(want.table.variable[j], name);
      const covariate = covariates[name]!;
      assertClose(
        standardizedDifference({ treated, covariate, weight }),
        want.table.smdFixedDenominator[j],
        // overlap weights: the case asks for 0 to 1e-6 absolutely
        key === "overlap" ? { relative: 0, absolute: 1e-6 } : tolerance,
        `${key} ${name}`,
      );
      if (want.table.varianceRatio[j] === null) return;
      assertClose(
        varianceRatio({ treated, covariate, weight }),
        want.table.varianceRatio[j],
        tolerance,
      );
    });
  }
});

function sample(seed: number, n = 150) {
  const random = new SeededRandom(seed);
  const x = Float64Array.from({ length: n }, () => random.normal());
  const z = Float64Array.from({ length: n }, () => random.bernoulli(0.3));
  const group = Uint8Array.from(
    x,
    (v, i) => random.bernoulli(1 / (1 + Math.exp(0.2 - 0.6 * v - 0.5 * z[i]!))),
  );
  return { treated: group, covariates: { x, z } };
}

// Identity: Li, Morgan & Zaslavsky (2018), theorem 3.
Deno.test("balancingWeights() for overlap balance the model's covariates exactly", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 500 }), (seed) => {
      const data = sample(seed);
      const { score, fit } = propensityScore(data);
      fc.pre(fit.converged);
      const weight = balancingWeights({ treated: data.treated, score }, { estimand: "overlap" });
      for (const covariate of Object.values(data.covariates)) {
        const gap = standardizedDifference({ treated: data.treated, covariate, weight });
        assert.ok(Math.abs(gap) < 1e-9, `gap ${gap}`);
      }
    }),
    { numRuns: 50 },
  );
});

// By hand: scores 0.8 and 0.4.
Deno.test("balancingWeights() follow their table, stabilised and truncated", () => {
  const data = { treated: [1, 0, 0, 0], score: [0.8, 0.4, 0.5, 0.2] };
  const close = { relative: 1e-14, absolute: 0 };
  const weights = (options: Parameters<typeof balancingWeights>[1]) =>
    balancingWeights(data, options);
  assertAllClose(weights({ estimand: "everyone" }), [1.25, 5 / 3, 2, 1.25], close);
  assertAllClose(weights({ estimand: "treated" }), [1, 2 / 3, 1, 0.25], close);
  assertAllClose(weights({ estimand: "overlap" }), [0.2, 0.4, 0.5, 0.2], close);
  assertAllClose(
    weights({ estimand: "everyone", stabilized: true }),
    [0.3125, 1.25, 1.5, 0.9375],
    close,
  );
  assertAllClose(weights({ estimand: "treated", stabilized: true }), [1, 2, 3, 0.75], close);
  const stable = weights({ estimand: "overlap", stabilized: true });
  assertClose(stable.reduce((a, b) => a + b), 4, close);
  // type 7 quantiles of 1.25, 1.25, 5/3, 2 at 0 and 2/3: positions 0 and 2
  assertAllClose(
    weights({ estimand: "everyone", truncate: [0, 2 / 3] }),
    [1.25, 5 / 3, 5 / 3, 1.25],
    close,
  );
});

Deno.test("balancingWeights() refuse scores of 0 and 1, and a single group", () => {
  const options = { estimand: "everyone" } as const;
  assert.throws(
    () => balancingWeights({ treated: [1, 0], score: [0.5, 1] }, options),
    /score\[1\] must be strictly between 0 and 1, got 1/,
  );
  assert.throws(() => balancingWeights({ treated: [1, 1], score: [0.5, 0.5] }, options), DataError);
  assert.throws(
    () =>
      balancingWeights({ treated: [1, 0], score: [0.5, 0.5] }, {
        ...options,
        truncate: [0.9, 0.1],
      }),
    /truncate/,
  );
});

Deno.test("effectiveSampleSize() is n for equal weights, and by hand otherwise", () => {
  assertClose(effectiveSampleSize([3, 3, 3]), 3);
  assertClose(effectiveSampleSize([1, 2, 3, 0]), 36 / 14);
  assert.throws(() => effectiveSampleSize([0, 0]), DataError);
  assert.throws(() => effectiveSampleSize([1, -1]), /weight\[1\]/);
});

const ten = { relative: 1e-10, absolute: 1e-10 };

// Identity: a column that is the same in everybody is balanced already; how a column is measured
// says nothing either.
Deno.test("entropyWeights() take no notice of a column without spread, or of units", () => {
  const treated = [1, 1, 1, 0, 0, 0, 0, 1];
  const age = [60, 71, 64, 55, 75, 62, 68, 70];
  for (const estimand of ["treated", "everyone"] as const) {
    const of = (covariates: Record<string, number[]>) =>
      entropyWeights({ treated, covariates }, { estimand });
    const alone = of({ age });
    const constant = of({ same: age.map(() => 3), age, months: age.map((years) => 12 * years) });
    assert.ok(alone.converged && of({ same: age.map(() => 3), age }).converged);
    assertAllClose(of({ same: age.map(() => 3), age }).weight, alone.weight, ten);
    assertAllClose(of({ age: age.map((years) => 1e4 * years) }).weight, alone.weight, ten);
    assert.ok(constant.weight.every((weight) => weight > 0));
    // where it cannot be balanced, by how much is told in standard deviations
    const apart = (unit: number) =>
      entropyWeights({
        treated: [1, 1, 0, 0],
        covariates: { x: [8, 9, 1, 2].map((x) => unit * x) },
      });
    assert.ok(!apart(1).converged);
    assertClose(apart(1).imbalance, apart(1000).imbalance, { relative: 1e-6, absolute: 1e-9 });
  }
});

// Identity: what entropy balancing promises; real data and random samples.
Deno.test("entropyWeights() make means equal to 1e-8 standard deviations", () => {
  const check = (
    data: { treated: ArrayLike<number>; covariates: Record<string, Float64Array> },
  ) => {
    for (const estimand of ["treated", "everyone"] as const) {
      const result = entropyWeights(data, { estimand });
      assert.ok(result.converged);
      assert.ok(result.weight.every((w) => w > 0));
      for (const covariate of Object.values(data.covariates)) {
        const gap = standardizedDifference({
          treated: data.treated,
          covariate,
          weight: result.weight,
        });
        assert.ok(Math.abs(gap) < 1e-8, `gap ${gap}`);
        if (estimand === "treated") continue;
        const all = covariate.reduce((sum, x) => sum + x, 0) / covariate.length;
        let sum = 0;
        let total = 0;
        covariate.forEach((x, i) => {
          if (data.treated[i] !== 1) return;
          sum += result.weight[i]! * x;
          total += result.weight[i]!;
        });
        assertClose(total, covariate.length, { relative: 1e-12, absolute: 0 });
        assertClose(sum / total, all, { relative: 1e-8, absolute: 1e-8 });
      }
    }
  };
  check({ treated, covariates });
  for (let seed = 1; seed <= 20; seed++) check(sample(seed));
});

// By hand: controls at 0 and 1 with target mean 0.8 must weigh 0.2 and 0.8 of the treated.
Deno.test("entropyWeights() of two controls", () => {
  const result = entropyWeights({
    treated: [0, 0, 1, 1, 1, 1, 1],
    covariates: { x: [0, 1, 1, 1, 1, 1, 0] },
  });
  assertAllClose(result.weight, [1, 4, 1, 1, 1, 1, 1], { relative: 1e-9, absolute: 0 });
});

Deno.test("entropyWeights() say so when no weights reach the target", () => {
  const result = entropyWeights({ treated: [0, 0, 1, 1], covariates: { x: [0, 1, 2, 3] } });
  assert.equal(result.converged, false);
  assert.match(result.reason!, /controls.*x/);
});

Deno.test("estimandInWords() names the patients", () => {
  assert.equal(estimandInWords("overlap"), "among patients who could have had either operation");
  assert.throws(() => estimandInWords("all" as "overlap"), DataError);
});
