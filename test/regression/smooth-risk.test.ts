import assert from "node:assert/strict";
import fc from "fast-check";
import {
  linearRegression,
  logisticRegression,
  smoothMean,
  smoothRisk,
  splineBasis,
} from "../../lib/regression/mod.ts";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import { assertAllClose, assertClose } from "../close.ts";

function invented(seed: number, n = 400) {
  const random = new SeededRandom(seed);
  const lvef = Float64Array.from({ length: n }, () => 40 + 35 * random.uniform());
  const lvesd = Float64Array.from({ length: n }, () => 28 + 22 * random.uniform());
  const repair = Float64Array.from({ length: n }, () => random.uniform() < 0.6 ? 1 : 0);
  const outcome = Float64Array.from(
    lvef,
    (ef, i) =>
      random.uniform() < 1 / (1 + Math.exp(0.15 * (ef - 58) - 0.1 * (lvesd[i]! - 38))) ? 1 : 0,
  );
  return { lvef, lvesd, repair, outcome };
}

Deno.test("smoothRisk() is the logistic regression on spline columns", () => {
  // identity: the parts it is made of are checked against references in their own tests
  const { lvef, lvesd, repair, outcome } = invented(1);
  const knots = { lvef: [45, 55, 65], lvesd: [31, 37, 45] };
  const { fit, riskAt } = smoothRisk(
    { outcome, measurements: { lvef, lvesd }, linear: { repair } },
    { knots },
  );
  const [a, b] = splineBasis(lvef, knots.lvef);
  const [c, d] = splineBasis(lvesd, knots.lvesd);
  const direct = logisticRegression({
    outcome,
    covariates: { a: a!, b: b!, c: c!, d: d!, repair },
  });
  assertClose(fit.logLikelihood, direct.logLikelihood, { relative: 1e-9, absolute: 1e-9 });
  assertAllClose(riskAt({ lvef, lvesd, repair }), direct.fitted, {
    relative: 1e-9,
    absolute: 1e-9,
  });
});

Deno.test("smoothRisk() does not depend on the unit of a measurement", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 1e6 }), fc.double({ min: 0.01, max: 100, noNaN: true }), (
      seed,
      unit,
    ) => {
      const { lvef, lvesd, outcome } = invented(seed, 200);
      const scaled = lvesd.map((value) => value * unit);
      const one = smoothRisk({ outcome, measurements: { lvef, lvesd } });
      const other = smoothRisk({ outcome, measurements: { lvef, lvesd: scaled } });
      assertAllClose(
        one.riskAt({ lvef: [60], lvesd: [37] }),
        other.riskAt({ lvef: [60], lvesd: [37 * unit] }),
        { relative: 1e-6, absolute: 1e-6 },
      );
    }),
    { numRuns: 20 },
  );
});

Deno.test("smoothRisk() refuses what it cannot use", () => {
  const { lvef, outcome } = invented(2, 50);
  const run = (measurements: Record<string, Float64Array>) => () =>
    smoothRisk({ outcome, measurements });
  assert.throws(run({}), /measurements must be at least one/);
  assert.throws(run({ lvef: lvef.map((v, i) => i === 3 ? NaN : v) }), /measurements\.lvef/);
  assert.throws(run({ lvef: lvef.slice(1) }), /measurements\.lvef/);
  assert.throws(
    () => smoothRisk({ outcome, measurements: { lvef } }).riskAt({ lvesd: [40] }),
    /lvef must be a column/,
  );
});

// Identity: at the rows themselves the estimate is the risk; with one covariate and a spline of
// none of its own bends the limits are those of the linear predictor, by hand from the covariance.
Deno.test("smoothRisk() draws its limits from the covariance of the log odds", () => {
  const { lvef, lvesd, outcome } = invented(4);
  const made = smoothRisk({ outcome, measurements: { lvef, lvesd } }, { confidence: 0.9 });
  const at = { lvef: [52, 61], lvesd: [33, 41] };
  const { estimate, standardError, lower, upper } = made.limitsAt(at);
  assertAllClose(estimate, made.riskAt(at), { relative: 1e-12, absolute: 0 });
  const bends = {
    lvef: splineBasis(at.lvef, made.knots.lvef!),
    lvesd: splineBasis(at.lvesd, made.knots.lvesd!),
  };
  for (const i of [0, 1]) {
    const row = [1, ...bends.lvef.map((column) => column[i]!), ...bends.lvesd.map((c) => c[i]!)];
    let variance = 0;
    row.forEach((a, j) =>
      row.forEach((b, k) => variance += a * b * made.fit.covariance[j * row.length + k]!)
    );
    assertClose(standardError[i]!, Math.sqrt(variance));
    const logit = (p: number) => Math.log(p / (1 - p));
    assertClose(
      (logit(upper[i]!) - logit(lower[i]!)) / 2 / Math.sqrt(variance),
      1.6448536269514722,
    );
  }
});

// Identity: the parts it is made of are checked against references in their own tests.
Deno.test("smoothMean() is the linear regression on spline columns", () => {
  const { lvef, lvesd, repair } = invented(6);
  const outcome = lvef.map((ef, i) => -0.4 * (ef - 55) + 0.1 * lvesd[i]!);
  const knots = { lvef: [45, 55, 65] };
  const { fit, meanAt } = smoothMean({
    outcome,
    measurements: { lvef },
    linear: { lvesd, repair },
  }, { knots });
  const [a, b] = splineBasis(lvef, knots.lvef);
  const direct = linearRegression({ outcome, covariates: { a: a!, b: b!, lvesd, repair } });
  assertAllClose(fit.fitted, direct.fitted);
  assertAllClose(meanAt({ lvef, lvesd, repair }).estimate, outcome, {
    relative: 1e-9,
    absolute: 1e-9,
  });
  assert.throws(() => meanAt({ lvef: [60] }), /lvesd/);
});
