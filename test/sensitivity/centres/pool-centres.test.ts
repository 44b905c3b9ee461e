import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, poolCentres } from "mitral";
import { assertClose } from "../../close.ts";
import { referenceCase } from "../../reference/load.ts";

// Reference: see the source of the cases.
for (const id of ["pooling-bcg", "pooling-normand", "pooling-three"]) {
  Deno.test(`poolCentres() agrees with the case ${id}`, () => {
    const { expected, tolerance } = referenceCase(id);
    const { estimates, variances } = expected;
    const data = { estimates, variances };
    const same = (found: object, wanted: Record<string, number>, what: string) => {
      for (const key of ["estimate", "standardError", "lower", "upper"]) {
        const value = (found as Record<string, number>)[key]!;
        assertClose(value, wanted[key]!, tolerance, `${what} ${key}`);
      }
    };
    const common = poolCentres(data, { method: "common", limits: "normal" });
    same(common, expected.common, "common");
    assert.equal(common.tauSquared, 0);
    assertClose(common.heterogeneity.statistic, expected.Q, tolerance);
    assert.equal(common.heterogeneity.degreesOfFreedom, expected.degreesOfFreedom);
    assertClose(common.heterogeneity.pValue, expected.pValueQ, tolerance);
    assertClose(common.iSquared, expected.iSquaredFromQ, tolerance);
    const moments = poolCentres(data, { method: "moments", limits: "normal" });
    same(moments, expected.derSimonianLaird, "moments");
    assertClose(moments.tauSquared, expected.derSimonianLaird.tau2, tolerance);
    const wald = poolCentres(data, { limits: "normal" });
    same(wald, expected.reml.wald, "reml");
    assertClose(wald.tauSquared, expected.reml.tau2, tolerance);
    const found = poolCentres(data);
    same(found, expected.reml.hartungKnapp, "hartung-knapp");
    assertClose(found.pValue, expected.reml.hartungKnapp.pValue, tolerance);
    const { lower, upper } = expected.reml.predictionHartungKnapp;
    assertClose(found.prediction.lower, lower, tolerance);
    assertClose(found.prediction.upper, upper, tolerance);
  });
}

Deno.test("poolCentres() does not depend on the unit or the order", () => {
  const centre = fc.record({
    y: fc.integer({ min: -3e6, max: 3e6 }).map((millionths) => millionths / 1e6),
    v: fc.double({ min: 0.01, max: 4, noNaN: true }),
  });
  fc.assert(fc.property(fc.array(centre, { minLength: 2, maxLength: 8 }), (centres) => {
    const estimates = centres.map(({ y }) => y);
    const variances = centres.map(({ v }) => v);
    if (new Set(estimates).size === 1) return;
    const one = poolCentres({ estimates, variances });
    const other = poolCentres({
      estimates: estimates.map((y) => 100 * y).reverse(),
      variances: variances.map((v) => 1e4 * v).reverse(),
    });
    const near = { relative: 1e-6, absolute: 1e-6 };
    assertClose(other.estimate, 100 * one.estimate, near);
    assertClose(other.tauSquared, 1e4 * one.tauSquared, near);
    assert.ok(Math.min(...estimates) <= one.estimate + 1e-12);
    assert.ok(one.estimate <= Math.max(...estimates) + 1e-12);
  }));
});

Deno.test("poolCentres() refuses what cannot be pooled", () => {
  const two = { estimates: [1, 2], variances: [1, 1] };
  assert.throws(() => poolCentres({ estimates: [1], variances: [1] }), /estimates must be two/);
  assert.throws(() => poolCentres({ ...two, variances: [1, 0] }), /variances\[1\]/);
  assert.throws(() => poolCentres({ ...two, variances: [1] }), DataError);
  assert.throws(() => poolCentres({ estimates: [2, 2], variances: [1, 3] }), /not all the same/);
  const hardly = { estimates: [0, Number.MIN_VALUE], variances: [0.01, 0.01] };
  assert.throws(() => poolCentres(hardly), /not all the same/);
  const alike = { estimates: [2, 2], variances: [1, 3] };
  assertClose(poolCentres(alike, { limits: "normal" }).standardError, Math.sqrt(3 / 4));
});
