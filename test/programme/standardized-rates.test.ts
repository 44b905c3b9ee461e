import assert from "node:assert/strict";
import { chanceOutsideFunnel, DataError, standardizedRates } from "mitral";
import { poissonBinomial } from "../../lib/programme/repair-rate/poisson-binomial.ts";
import { assertAllClose, assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

// By hand: two trials of 1/2 and 1/4.
Deno.test("poissonBinomial() of two trials", () => {
  assertAllClose(poissonBinomial(Float64Array.of(0.5, 0.25)), [3 / 8, 4 / 8, 1 / 8]);
});

// Reference: see the case's source.
Deno.test("standardizedRates() agrees with the reference on twelve units", () => {
  const { expected, tolerance } = referenceCase("standardised-rates-units");
  const rows = referenceRows("units.csv");
  const { units, converged } = standardizedRates({
    outcome: numeric(rows, "y"),
    unit: rows.map(({ unit }) => unit!),
    covariates: { hard: numeric(rows, "hard"), redo: numeric(rows, "redo") },
  });
  assert.equal(converged, true);
  const check = (name: string, of: (unit: typeof units[number]) => number) =>
    assertAllClose(units.map(of), expected[name], tolerance, name);
  check("n", ({ n }) => n);
  check("observed", ({ observed }) => observed);
  check("expected", (unit) => unit.expected);
  check("ratio", ({ ratio }) => ratio.estimate);
  check("oddsRatio", ({ oddsRatio }) => oddsRatio.estimate);
  check("oddsLower", ({ oddsRatio }) => oddsRatio.lower);
  check("oddsUpper", ({ oddsRatio }) => oddsRatio.upper);
  check("rate", ({ rate }) => rate.estimate);
  check("rateLower", ({ rate }) => rate.lower);
  check("rateUpper", ({ rate }) => rate.upper);
});

// By hand: without case mix the limits are those of Clopper and Pearson, and the two units' rates
// their own proportions.
Deno.test("standardizedRates() without case mix gives plain proportions, exact limits", () => {
  const outcome = [...Array(81).fill(1), ...Array(182).fill(0), ...Array(30).fill(1), 0];
  const unit = [...Array(263).fill("A"), ...Array(31).fill("B")];
  const [first, second] = standardizedRates({ outcome, unit }).units;
  assertClose(first!.rate.estimate, 81 / 263);
  // Reference: R 4.2.2, stats::binom.test(81, 263) and (30, 31)
  assertClose(first!.rate.lower, 0.2527367, { relative: 0, absolute: 5e-8 });
  assertClose(first!.rate.upper, 0.3676219, { relative: 0, absolute: 5e-8 });
  assertClose(second!.rate.lower, 0.8329789, { relative: 0, absolute: 5e-8 });
  assertClose(second!.rate.upper, 0.9991836, { relative: 0, absolute: 5e-8 });
});

// Identity: the other outcome mirrors everything.
Deno.test("standardizedRates() of the other outcome mirrors the rates", () => {
  const rows = referenceRows("units.csv");
  const data = {
    unit: rows.map(({ unit }) => unit!),
    covariates: { hard: numeric(rows, "hard") },
  };
  const outcome = numeric(rows, "y");
  const one = standardizedRates({ ...data, outcome });
  const other = standardizedRates({ ...data, outcome: outcome.map((y) => 1 - y) });
  const close = { relative: 1e-7, absolute: 1e-9 };
  one.units.forEach((unit, k) => {
    const opposite = other.units[k]!;
    assertClose(1 - opposite.rate.estimate, unit.rate.estimate, close);
    assertClose(1 - opposite.rate.upper, unit.rate.lower, close);
    assertClose(opposite.pValue, unit.pValue, close);
  });
});

// Hard edges: nobody and everybody; a target.
Deno.test("standardizedRates() has limits where a unit has no or only events", () => {
  const outcome = [0, 0, 0, 1, 1, 1, 0, 1];
  const unit = [1, 1, 1, 2, 2, 2, 3, 3];
  const { units } = standardizedRates({ outcome, unit });
  assert.equal(units[0]!.rate.estimate, 0);
  assert.equal(units[0]!.rate.lower, 0);
  assertClose(units[0]!.rate.upper, 1 - 0.025 ** (1 / 3)); // by hand: P(none of 3) = 0.025
  assert.equal(units[1]!.rate.upper, 1);
  const target = standardizedRates({ outcome, unit }, { target: 0.9 });
  assertClose(target.overall, 0.9);
  assertClose(target.units[0]!.expected, 2.7);
  assertClose(target.units[0]!.pValue, 0.001); // twice half of 0.1^3
});

// By hand: of 10 operations at 0.5, P(X <= 2) = 56/1024 is the first of at least 0.025, so that the
// lower limit lies between 1/10 and 2/10, and P(X <= 8) = 1013/1024 the first of 0.975, so that the
// upper lies between 7/10 and 8/10: outside are 0 and 1, 8, 9 and 10.
Deno.test("chanceOutsideFunnel() counts what lies outside", () => {
  const of = (truth: number) =>
    chanceOutsideFunnel({ target: 0.5, n: 10, truth, confidence: 0.95 });
  assertClose(of(0.5), (11 + 56) / 1024);
  assertClose(of(1), 1);
  assertClose(of(0.3), 0.7 ** 10 + 3 * 0.7 ** 9 + 45 * 0.3 ** 8 * 0.49 + 7 * 0.3 ** 9 + 0.3 ** 10);
});

Deno.test("standardizedRates() says what is wrong with its input", () => {
  assert.throws(
    () => standardizedRates({ outcome: [0, 1], unit: ["A"] }),
    new DataError("unit", "of length 2", ["A"]),
  );
  assert.throws(() => standardizedRates({ outcome: [1, 1], unit: ["A", "B"] }), DataError);
  assert.throws(
    () => standardizedRates({ outcome: [0, 1], unit: ["A", "B"] }, { target: 90 }),
    new DataError("target", "strictly between 0 and 1", 90),
  );
});

// Reference: R 4.2.2, stats::binom.test(0, 20), (20, 20) and (1, 2)
Deno.test("standardizedRates() of a unit without an event, and of one with nothing else, have one limit", () => {
  const outcome = [...Array(20).fill(0), ...Array(20).fill(1), 0, 1];
  const unit = [...Array(20).fill("A"), ...Array(20).fill("B"), "C", "C"];
  const [none, all, one] = standardizedRates({ outcome, unit }).units;
  const close = { relative: 0, absolute: 5e-8 };
  assert.deepEqual([none!.rate.estimate, none!.rate.lower], [0, 0]);
  assert.deepEqual([none!.oddsRatio.estimate, none!.oddsRatio.lower], [0, 0]);
  assertClose(none!.rate.upper, 0.1684335, close);
  assert.deepEqual([all!.rate.estimate, all!.rate.upper], [1, 1]);
  assertClose(all!.rate.lower, 0.8315665, close);
  assertClose(one!.rate.lower, 0.0125791, close);
  assertClose(one!.rate.upper, 0.9874209, close);
});
