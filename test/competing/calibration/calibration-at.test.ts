import assert from "node:assert/strict";
import {
  calibration,
  calibrationAt,
  cumulativeIncidence,
  DataError,
  heldOut,
  optimism,
  SeededRandom,
  subdistributionRegression,
} from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

// Reference: see the source of the case.
Deno.test("calibrationAt() agrees with reference case calibration-competing-mgus2", () => {
  const { data, expected, options, tolerance } = referenceCase("calibration-competing-mgus2");
  const rows = referenceRows(data!);
  const followUp = { time: numeric(rows, "time"), event: numeric(rows, "cause") };
  for (const at of options.times as number[]) {
    const predicted = numeric(rows, `risk${at}`);
    const found = calibrationAt({ ...followUp, predicted }, { at, groups: 5 });
    const want = expected[`at${at}`];
    assert.equal(found.converged, true);
    assertClose(found.slope.estimate, want.slope, tolerance, "slope");
    assertClose(found.slope.standardError, want.slopeSe, tolerance, "its error");
    assertClose(found.intercept.estimate, want.intercept, tolerance, "intercept");
    assertClose(found.intercept.standardError, want.interceptSe, tolerance, "its error");
    assertClose(found.observedOverExpected.estimate, want.observedOverExpected, tolerance);
    assertAllClose(found.groups.map(({ n }) => n), want.n);
    assertAllClose(found.groups.map((one) => one.predicted), want.predicted, tolerance);
    assertAllClose(found.groups.map((one) => one.observed), want.observed, tolerance);
  }
});

// Identity: with everybody watched to the horizon it is the plain calibration of yes and no.
Deno.test("calibrationAt() without censoring or other causes is calibration()", () => {
  const random = new SeededRandom(8);
  const predicted = Float64Array.from({ length: 300 }, () => 0.1 + 0.8 * random.uniform());
  const outcome = predicted.map((p) => random.bernoulli(p));
  const time = outcome.map((y) => y === 1 ? 0.5 : 2);
  const found = calibrationAt({ time, event: outcome, predicted }, { at: 1, groups: 4 });
  const plain = calibration({ outcome, predicted }, { groups: 4 });
  assertClose(found.slope.estimate, plain.slope.estimate);
  assertClose(found.intercept.estimate, plain.intercept.estimate);
  assertClose(found.observedOverExpected.estimate, plain.observedOverExpected);
  assertAllClose(
    found.groups.map(({ observed }) => observed),
    plain.groups.map(({ observed }) => observed),
  );
});

function competing(seed: number, n: number) {
  const random = new SeededRandom(seed);
  const x = Float64Array.from({ length: n }, () => random.normal());
  const failure = x.map((value) => random.exponential(0.12 * Math.exp(0.8 * value)));
  const death = x.map(() => random.exponential(0.1));
  const lost = x.map(() => 12 * random.uniform());
  const time = failure.map((t, i) => Math.min(t, death[i]!, lost[i]!));
  const event = failure.map((t, i) => time[i] === lost[i] ? 0 : t === time[i] ? 1 : 2);
  // chance of failing before death, by 5 years: constant hazards a of failure and b of death
  const truth = x.map((value) => {
    const a = 0.12 * Math.exp(0.8 * value);
    return a / (a + 0.1) * (1 - Math.exp(-5 * (a + 0.1)));
  });
  return { x, time, event, truth };
}

// By simulation: the true chances are calibrated, with death before them and a third censored;
// limits of intercept and slope hold 0 and 1 in 95 of 100 samples within four binomial errors.
Deno.test("calibrationAt() finds true chances calibrated and too extreme ones not", () => {
  let intercepts = 0;
  let slopes = 0;
  for (let k = 0; k < 100; k++) {
    const { time, event, truth } = competing(100 + k, 400);
    const { intercept, slope } = calibrationAt({ time, event, predicted: truth }, { at: 5 });
    if (intercept.lower <= 0 && 0 <= intercept.upper) intercepts++;
    if (slope.lower <= 1 && 1 <= slope.upper) slopes++;
  }
  assert.ok(intercepts >= 87 && slopes >= 87, `${intercepts} and ${slopes} of 100`);
  const { time, event, truth } = competing(1, 4000);
  const extreme = truth.map((p) => 1 / (1 + (1 / p - 1) ** 2));
  const { slope } = calibrationAt({ time, event, predicted: extreme }, { at: 5 });
  assertClose(slope.estimate, 0.5, { relative: 0, absolute: 0.05 });
});

// Death comes before failure: a model that takes the dead for censored foretells too many.
Deno.test("calibrationAt() shows chances that forget death to be too high", () => {
  const { time, event, x } = competing(5, 4000);
  const forgetful = x.map((value) => 1 - Math.exp(-5 * 0.12 * Math.exp(0.8 * value)));
  const { observedOverExpected, groups } = calibrationAt(
    { time, event, predicted: forgetful },
    { at: 5, groups: 5 },
  );
  assert.ok(observedOverExpected.upper < 1);
  assert.ok(groups.every(({ observed, predicted }) => observed < predicted + 0.02));
  const whole = cumulativeIncidence({ time, event }).causes[0]!.at([5]);
  const mean = forgetful.reduce((sum, p) => sum + p, 0) / forgetful.length;
  assertClose(observedOverExpected.lower, whole.lower[0]! / mean);
});

// Identity: what it gives plugs into optimism() and heldOut(); apparent is the measure itself.
Deno.test("calibrationAt() plugs into optimism() and heldOut()", () => {
  const { time, event, x } = competing(3, 250);
  const noise = Float64Array.from(x, (_, i) => Math.sin(37 * i));
  const pick = (column: Float64Array, rows: ArrayLike<number>) =>
    Float64Array.from(rows, (row) => column[row]!);
  const followUp = (rows: ArrayLike<number>) => ({
    time: pick(time, rows),
    event: pick(event, rows),
  });
  const make = (rows: ArrayLike<number>) =>
    subdistributionRegression({
      ...followUp(rows),
      covariates: { x: pick(x, rows), noise: pick(noise, rows) },
    }, { cause: 1 });
  const riskOf = (model: ReturnType<typeof make>, rows: ArrayLike<number>) =>
    Float64Array.from(
      rows,
      (row) => model.incidenceFor({ x: x[row]!, noise: noise[row]! }, [5]).incidence[0]!,
    );
  const slopeOf = (model: ReturnType<typeof make>, rows: Int32Array) =>
    calibrationAt({ ...followUp(rows), predicted: riskOf(model, rows) }, { at: 5 }).slope.estimate;
  const all = Int32Array.from(x, (_, row) => row);
  const found = optimism(250, { make, measure: slopeOf }, { seed: 2, replicates: 20 });
  assertClose(found.apparent, slopeOf(make(all), all));
  assert.ok(found.optimism > -0.1 && found.optimism < 0.4, `${found.optimism}`);
  const predicted = heldOut(250, (made, left) => riskOf(make(made), left), { seed: 3 });
  const { slope, observedOverExpected } = calibrationAt({ time, event, predicted }, { at: 5 });
  assert.ok(slope.lower < 1 && slope.upper > 0.7);
  assert.ok(observedOverExpected.lower < 1 && observedOverExpected.upper > 1);
});

Deno.test("calibrationAt() says what is wrong with its input", () => {
  const data = { time: [1, 2, 3, 4], event: [1, 2, 0, 0], predicted: [0.5, 0.4, 0.3, 0.2] };
  assert.throws(
    () => calibrationAt({ ...data, predicted: [0.5, 0, 0.3, 0.2] }, { at: 2 }),
    new DataError("predicted", "strictly between 0 and 1", 0, 1),
  );
  assert.throws(
    () => calibrationAt({ ...data, predicted: [0.5, 0.5, 0.5, 0.5] }, { at: 2 }),
    new DataError("predicted", "not all alike", 0.5, 0),
  );
  assert.throws(() => calibrationAt(data, { at: 0.5 }), /some, not all, have had the event/);
  assert.throws(() => calibrationAt(data, { at: 9 }), /last observed time/);
  assert.throws(() => calibrationAt(data, { at: 2, groups: 0 }), /groups must be/);
});
