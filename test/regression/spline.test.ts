import assert from "node:assert/strict";
import { DataError, logisticRegression, splineBasis, splineKnots } from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

const { expected, options, tolerance } = referenceCase("rcs-basis");
const rows = referenceRows("asah.csv");
const age = numeric(rows, "age");

// Reference: see the case's source.
Deno.test("splineBasis() agrees with the reference, inside and outside the knots", () => {
  const basis = splineBasis(expected.firstRowsX, options.knots);
  assert.equal(basis.length, 4);
  basis.forEach((column, j) =>
    assertAllClose(column, expected.basis.map((row: number[]) => row[j]), tolerance)
  );
  splineBasis(expected.evaluatedAt, options.knots).forEach((column, j) =>
    assertAllClose(column, expected.basisAt.map((row: number[]) => row[j]), tolerance)
  );
});

// Reference: see the case's source.
Deno.test("splineBasis() makes a logistic regression that agrees with the reference", () => {
  const columns = splineBasis(age, options.knots);
  const fit = logisticRegression({
    outcome: numeric(rows, "poor"),
    covariates: Object.fromEntries(columns.map((column, j) => [`age${j}`, column])),
  });
  assertAllClose(fit.terms.map((t) => t.coefficient), expected.logistic.coef, tolerance);
  assertAllClose(fit.terms.map((t) => t.standardError), expected.logistic.se, tolerance);
  assertClose(fit.deviance, expected.logistic.deviance, tolerance);
});

// Reference: see the case's source.
Deno.test("splineKnots() takes type 7 quantiles", () => {
  assertAllClose(splineKnots(age, 3), expected.knots3, tolerance);
  assertAllClose(splineKnots(age, 5), expected.knots5, tolerance);
});

// Identity: second differences of a straight line are zero.
Deno.test("splineBasis() is straight beyond the outer knots", () => {
  for (const at of [[-40, -20, 0], [80, 100, 120]]) {
    for (const column of splineBasis(at, options.knots)) {
      const bend = column[0]! - 2 * column[1]! + column[2]!;
      assert.ok(Math.abs(bend) < 1e-9 * (1 + Math.abs(column[2]!)), `bend ${bend}`);
    }
  }
});

Deno.test("splineBasis() refuses knots that do not ascend or are too few", () => {
  assert.throws(() => splineBasis([1, 2], [1, 2]), /at least three/);
  assert.throws(() => splineBasis([1, 2], [1, 3, 3]), /knots\[2\] must be ascending/);
  assert.throws(() => splineKnots([1, 1, 1, 1], 3), DataError);
});
