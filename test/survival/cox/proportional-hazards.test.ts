import assert from "node:assert/strict";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { coxResiduals } from "../../../lib/survival/cox/checks/residuals.ts";
import { proportionalHazardsTest } from "../../../lib/survival/cox/checks/proportional-hazards.ts";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";
import { models } from "./cox-cases.ts";

const fitted = {
  "cox-zph-freireich-wbc": () => coxRegression(models.wbc()),
  "cox-zph-veteran": () => coxRegression(models.veteran()),
  "cox-zph-lung": () => coxRegression(models.lung()),
  "cox-zph-pbc": () => coxRegression(models.pbc()),
};

for (const [id, fit] of Object.entries(fitted)) {
  Deno.test(`proportionalHazardsTest() matches reference case ${id}, both forms`, () => {
    const { expected, tolerance } = referenceCase(id);
    for (const transform of ["identity", "km"] as const) {
      for (const form of ["score", "approximate"] as const) {
        const test = proportionalHazardsTest(fit(), { transform, form });
        const want = expected[transform][form === "score" ? "scoreTest" : "approximateTest"];
        const what = `${transform} ${form}`;
        const chi = test.terms.map((term) => term.statistic);
        assertAllClose(chi, want.chisq, tolerance, `${what} statistic`);
        assertAllClose(test.terms.map((term) => term.pValue), want.p, tolerance, `${what} p`);
        assertClose(test.global.statistic, want.globalChisq, tolerance, `${what} global`);
        assertClose(test.global.degreesOfFreedom, want.globalDf, tolerance, `${what} df`);
        assertClose(test.global.pValue, want.globalP, tolerance, `${what} global p`);
        assert.deepEqual(test.terms.map((term) => term.name), expected[transform].terms);
      }
    }
  });
}

Deno.test("coxResiduals() of the reference cases correlate with time as the cases say", () => {
  for (const [id, fit] of Object.entries(fitted)) {
    const { expected, tolerance } = referenceCase(id);
    const { time, columns } = coxResiduals(fit(), "scaled-schoenfeld");
    const correlations = Object.values(columns).map((column) => correlation(time, column));
    assertAllClose(correlations, expected.identity.approximateTest.correlation, tolerance, id);
  }
});

// Reference: R 4.2.2, survival 3.5-3, cox.zph(fit, transform, terms = FALSE)$table[, "chisq"] with
// coxph.control(eps = 1e-14); coefficients in order, then the global test.
const tolerance = { relative: 1e-9, absolute: 1e-11 };
function statistics(...[fit, options]: Parameters<typeof proportionalHazardsTest>): number[] {
  const test = proportionalHazardsTest(fit, options);
  return [...test.terms, test.global].map((each) => each.statistic);
}

Deno.test("proportionalHazardsTest() matches the reference library by rank and by log time", () => {
  const fit = coxRegression(models.pbc());
  assertAllClose(
    statistics(fit, { transform: "rank" }),
    // deno-fmt-ignore
    [0.0827903331306859, 2.8695230396181599, 0.3923185661501747, 9.2594567965796077,
      0.7213609722912810, 12.1606290791362692],
    tolerance,
  );
  assertAllClose(
    statistics(fit, { transform: "log" }),
    // deno-fmt-ignore
    [0.143152657955289, 4.152849960348457, 0.333415163053476, 11.652503203149156,
      1.550836205944475, 15.750589043715047],
    tolerance,
  );
});

Deno.test("proportionalHazardsTest() matches the reference library with delayed entry", () => {
  const fit = coxRegression(models.heart());
  assertAllClose(
    statistics(fit, { transform: "identity" }),
    // deno-fmt-ignore
    [1.757290930080169, 1.512200475564853, 1.376110561225325, 0.122029301620102,
      4.687948410964093],
    tolerance,
  );
  assertAllClose(
    statistics(fit),
    // deno-fmt-ignore
    [0.8668747109155512, 1.7164144292079977, 0.0973950591168633, 0.2029343881527826,
      3.4731022988457787],
    tolerance,
  );
});

Deno.test("proportionalHazardsTest() matches the reference library with strata", () => {
  assertAllClose(
    statistics(coxRegression(models.stratifiedVeteran())),
    [0.0507695190754583, 6.7067884895470833, 7.0950522124245250],
    tolerance,
  );
});

// Identity: a shift of g changes nothing, nor does the unit of time when g(t) = t.
Deno.test("proportionalHazardsTest() does not depend on the unit of time", () => {
  const data = models.veteran();
  const years = { ...data, time: Float64Array.from(data.time, (t) => t / 365.25) };
  for (const transform of ["identity", "log", "rank", "km"] as const) {
    const inDays = statistics(coxRegression(data), { transform });
    assertAllClose(statistics(coxRegression(years), { transform }), inDays, tolerance, transform);
  }
});

// By hand: with all events at one time there is no trend to see.
Deno.test("proportionalHazardsTest() finds no evidence when all events are at one time", () => {
  const data = {
    time: [1, 1, 1, 2, 3],
    event: [1, 1, 1, 0, 0],
    covariates: { x: [1, 2, 0, 1, 0] },
  };
  const { global } = proportionalHazardsTest(coxRegression(data));
  assert.equal(global.statistic, 0);
  assert.equal(global.pValue, 1);
});

Deno.test("proportionalHazardsTest() refuses what it cannot test", () => {
  const exact = coxRegression(models.freireich(), { ties: "exact" });
  assert.throws(() => proportionalHazardsTest(exact), DataError);
  const penalised = coxRegression(models.freireich(), { penalty: "jeffreys" });
  assert.throws(() => proportionalHazardsTest(penalised), DataError);
  assert.throws(() => proportionalHazardsTest({ ...coxRegression(models.freireich()) }), DataError);
  const atZero = { time: [0, 1, 2, 3], event: [1, 1, 1, 0], covariates: { x: [1, 0, 1, 0] } };
  assert.throws(
    () => proportionalHazardsTest(coxRegression(atZero), { transform: "log" }),
    DataError,
  );
});

function correlation(a: ArrayLike<number>, b: ArrayLike<number>): number {
  const mean = (values: ArrayLike<number>) =>
    Array.from(values).reduce((sum, v) => sum + v, 0) / values.length;
  const [ma, mb] = [mean(a), mean(b)];
  let ab = 0, aa = 0, bb = 0;
  for (let i = 0; i < a.length; i++) {
    ab += (a[i]! - ma) * (b[i]! - mb);
    aa += (a[i]! - ma) ** 2;
    bb += (b[i]! - mb) ** 2;
  }
  return ab / Math.sqrt(aa * bb);
}

/** Rows of the weighted reference data, one covariate set. */
function weightedRows() {
  const { data, columns } = referenceCase("proportional-hazards-weighted");
  const rows = referenceRows(data!);
  return {
    time: numeric(rows, columns.time!),
    event: numeric(rows, columns.event!),
    weight: numeric(rows, columns.weight!),
    covariates: { z: numeric(rows, "z"), x: numeric(rows, "x") },
  };
}

// Reference: see the case's source.
Deno.test("proportionalHazardsTest() under weights is the robust score test of the reference", () => {
  const { expected, tolerance } = referenceCase("proportional-hazards-weighted");
  const fit = coxRegression(weightedRows(), { ties: "breslow" });
  for (const transform of ["identity", "log", "km"] as const) {
    const { terms, global, robust } = proportionalHazardsTest(fit, { transform });
    const want = expected[transform].robust;
    assert.ok(robust);
    assertAllClose(terms.map((term) => term.statistic), want.statistic, tolerance, transform);
    assertAllClose(terms.map((term) => term.pValue), want.pValue, tolerance, transform);
    assertClose(global.statistic, want.global, tolerance, transform);
    assertClose(global.pValue, want.globalP, tolerance, transform);
  }
  const { weight: _, ...unweighted } = weightedRows();
  const unit = expected.unitWeightsKm;
  const each = coxRegression(
    { ...unweighted, weight: unweighted.time.map(() => 1) },
    { ties: "breslow" },
  );
  assertClose(proportionalHazardsTest(each).global.statistic, unit.robust.global, tolerance);
  // every row its own cluster is robust too; without either the model's own variance is used
  const alone = coxRegression(
    { ...unweighted, cluster: Array.from(unweighted.time.keys()) },
    { ties: "breslow" },
  );
  assertClose(proportionalHazardsTest(alone).global.statistic, unit.robust.global, tolerance);
  const plain = coxRegression(unweighted, { ties: "breslow" });
  assertClose(proportionalHazardsTest(plain).global.statistic, unit.modelBased.global, tolerance);
});

// Identity: weights have no unit; whole rows that share a cluster count once.
Deno.test("proportionalHazardsTest(): scaled weights change nothing, repeated rows count once", () => {
  const data = weightedRows();
  for (const ties of ["efron", "breslow"] as const) {
    const close = { relative: 1e-8, absolute: 1e-10 };
    const of = (rows: Parameters<typeof coxRegression>[0]) =>
      proportionalHazardsTest(coxRegression(rows, { ties })).global.statistic;
    const once = of(data);
    assertClose(of({ ...data, weight: data.weight.map((w) => 7.3 * w) }), once, close);
    if (ties === "efron") continue; // repeated rows tie, and Efron's terms change
    const twice = (values: Float64Array) => Float64Array.from([...values, ...values]);
    const doubled = {
      time: twice(data.time),
      event: twice(data.event),
      weight: twice(data.weight),
      covariates: { z: twice(data.covariates.z), x: twice(data.covariates.x) },
      cluster: Array.from({ length: 2 * data.time.length }, (_, i) => i % data.time.length),
    };
    // the unweighted curve of "km" is that of single rows too
    assertClose(of(doubled), once, { relative: 1e-6, absolute: 1e-8 });
  }
});

Deno.test("model-based tests of a weighted or clustered fit have no p value, and say why", () => {
  const fit = coxRegression(weightedRows());
  for (const test of [fit.likelihoodRatio, fit.score]) {
    assert.ok(Number.isNaN(test.pValue));
    assert.match(test.reason!, /weighted or clustered/);
  }
  assert.ok(fit.robustScore!.pValue < 1);
  assert.throws(
    () => proportionalHazardsTest(fit, { form: "approximate" }),
    /form must be "score"/,
  );
});
