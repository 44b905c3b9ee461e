import assert from "node:assert/strict";
import { calibration, DataError, logisticRegression } from "mitral";
import { assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

const rows = referenceRows("asah.csv");
const outcome = numeric(rows, "poor");
const covariates = Object.fromEntries(
  ["age", "female", "wfns", "s100b"].map((name) => [name, numeric(rows, name)]),
);

// Identity: a fitted model is calibrated on its own rows. Brier score: reference, see the case.
Deno.test("calibration() of a model on its own rows is perfect", () => {
  const { expected, tolerance } = referenceCase("logistic-asah");
  const predicted = logisticRegression({ outcome, covariates }).fitted;
  const result = calibration({ outcome, predicted }, { groups: 5 });
  assert.equal(result.converged, true);
  assertClose(result.intercept.estimate, 0, { relative: 0, absolute: 1e-9 });
  assertClose(result.slope.estimate, 1, { relative: 1e-8, absolute: 0 });
  assertClose(result.observedOverExpected, 1, { relative: 1e-10, absolute: 0 });
  assertClose(result.brier, expected.brier, tolerance);
  assert.equal(result.groups.reduce((sum, group) => sum + group.n, 0), outcome.length);
  assert.equal(result.groups.length, 5);
});

// Identity: log odds doubled and raised by 1 need slope 1/2; shifted ones need the shift back.
Deno.test("calibration() measures what was done to the predictions", () => {
  const fit = logisticRegression({ outcome, covariates });
  const bent = fit.linearPredictor.map((eta) => 1 / (1 + Math.exp(-(1 + 2 * eta))));
  assertClose(calibration({ outcome, predicted: bent }).slope.estimate, 0.5, {
    relative: 1e-8,
    absolute: 0,
  });
  const shifted = fit.linearPredictor.map((eta) => 1 / (1 + Math.exp(-(eta - 0.7))));
  assertClose(calibration({ outcome, predicted: shifted }).intercept.estimate, 0.7, {
    relative: 1e-8,
    absolute: 0,
  });
});

Deno.test("calibration() keeps equal predictions in one group", () => {
  const result = calibration({
    outcome: [0, 1, 0, 1, 0, 1, 1, 1],
    predicted: [0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.7, 0.8],
  }, { groups: 4 });
  assert.deepEqual(result.groups.map((group) => group.n), [6, 2]);
});

Deno.test("calibration() refuses certainties", () => {
  assert.throws(() => calibration({ outcome: [0, 1], predicted: [0, 0.5] }), /predicted\[0\]/);
  assert.throws(() => calibration({ outcome: [0, 1], predicted: [0.5, 0.5] }), DataError);
});
