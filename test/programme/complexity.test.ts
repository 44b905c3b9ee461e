import assert from "node:assert/strict";
import fc from "fast-check";
import {
  complexityScore,
  concentrationCurve,
  DataError,
  heldOut,
  logisticRegression,
  optimism,
  rocCurve,
  SeededRandom,
  sharesByType,
} from "mitral";
import { ridgeLogistic, riskOf } from "../../lib/programme/complexity/ridge-logistic.ts";
import { assertAllClose, assertClose } from "../close.ts";

function operations(seed: number, n: number) {
  const random = new SeededRandom(seed);
  const items = {
    anterior: new Float64Array(n),
    redo: new Float64Array(n),
    tethered: new Float64Array(n),
    female: new Float64Array(n),
  };
  const outcome = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    items.anterior[i] = random.bernoulli(0.3);
    items.redo[i] = random.bernoulli(0.15);
    items.tethered[i] = random.bernoulli(0.2);
    items.female[i] = random.bernoulli(0.4);
    const logOdds = -2.5 + 0.5 * items.anterior[i]! + items.redo[i]! + 2 * items.tethered[i]!;
    outcome[i] = random.bernoulli(1 / (1 + Math.exp(-logOdds)));
  }
  return { outcome, items };
}

// Identity: at its maximum, the score of each scaled column equals penalty times coefficient, that
// of the constant is 0; with a large sample the penalty chosen hardly matters.
Deno.test("ridgeLogistic() stands where the penalised likelihood is highest", () => {
  for (const [seed, n] of [[1, 150], [2, 4000]] as const) {
    const { outcome, items } = operations(seed, n);
    const columns = Object.values(items);
    const { coefficients, penalty, effectiveTerms } = ridgeLogistic(outcome, columns);
    const risk = riskOf(coefficients, columns);
    const residual = risk.map((p, i) => outcome[i]! - p);
    assertClose(residual.reduce((sum, r) => sum + r, 0), 0, { relative: 0, absolute: 1e-6 });
    columns.forEach((column, j) => {
      const mean = column.reduce((sum, x) => sum + x, 0) / n;
      const spread = Math.sqrt(column.reduce((sum, x) => sum + (x - mean) ** 2, 0) / n);
      const score = column.reduce((sum, x, i) => sum + (x - mean) / spread * residual[i]!, 0);
      assertClose(score, penalty * coefficients[j + 1]! * spread, {
        relative: 1e-5,
        absolute: 1e-5,
      });
    });
    assert.ok(effectiveTerms > 0 && effectiveTerms <= 4 + 1e-9);
    const plain = logisticRegression({ outcome, covariates: items });
    const apart = plain.terms.slice(1).map(({ coefficient }, j) =>
      coefficient - coefficients[j + 1]!
    );
    assert.ok(n < 1000 || Math.max(...apart.map(Math.abs)) < 0.1);
  }
});

// Hard edge: an item that tells the outcomes apart has no plain estimate, but a penalised one.
Deno.test("ridgeLogistic() stays finite where outcomes are told apart", () => {
  const x = Float64Array.of(0, 0, 0, 1, 1, 1);
  const { coefficients, penalty } = ridgeLogistic(Uint8Array.of(0, 0, 0, 1, 1, 1), [x]);
  assert.ok(penalty > 0);
  assert.ok(coefficients.every(Number.isFinite));
});

// By simulation: true log odds 0.5, 1, 2 and 0; the largest is given 8 points.
Deno.test("complexityScore() gives points in proportion to what was put in", () => {
  const { outcome, items } = operations(7, 20_000);
  const score = complexityScore({ outcome, items }, { most: 8 });
  assert.deepEqual(score.items.map(({ points }) => points), [2, 4, 8, 0]);
  assert.equal(score.table.reduce((sum, { n }) => sum + n, 0), 20_000);
  for (const { n, observed, risk } of score.table) {
    if (n > 500) assert.ok(Math.abs(observed.estimate - risk.estimate) < 0.05);
  }
  const others = { anterior: [1, 0], redo: [0, 0], tethered: [1, 0], female: [1, 1] };
  assert.deepEqual([...score.pointsOf(others)], [10, 0]);
  const [high, low] = score.riskOf(score.pointsOf(others));
  assert.ok(high! > 0.3 && low! < 0.12);
});

// Identity: nothing to learn, no points; a score can be corrected for its own optimism.
Deno.test("complexityScore() can be judged on rows it was not made from", () => {
  const { outcome, items } = operations(3, 400);
  const of = (rows: Int32Array) => ({
    outcome: Float64Array.from(rows, (row) => outcome[row]!),
    items: Object.fromEntries(
      Object.entries(items).map(([name, column]) => [
        name,
        Float64Array.from(rows, (row) => column[row]!),
      ]),
    ),
  });
  const honest = optimism(400, {
    make: (rows) => complexityScore(of(rows)),
    measure: (score, rows) => {
      const { outcome, items } = of(rows);
      return rocCurve({ outcome, score: score.pointsOf(items) }).area.estimate;
    },
  }, { seed: 1, replicates: 20 });
  assert.ok(honest.optimism > -0.02 && honest.optimism < 0.1);
  assertClose(honest.apparent, complexityScore({ outcome, items }).area);
  const held = heldOut(400, (made, left) => {
    const score = complexityScore(of(made));
    return score.riskOf(score.pointsOf(of(left).items));
  }, { seed: 1 });
  assert.ok(rocCurve({ outcome, score: held }).area.estimate > 0.6);
});

// By hand: scores 3, 2, 2, 1; events of the 3 and of one of the 2s.
Deno.test("concentrationCurve() shares ties evenly", () => {
  const curve = concentrationCurve({ outcome: [1, 1, 0, 0], score: [3, 2, 2, 1] }, {
    seed: 1,
    replicates: 50,
  });
  assertClose(curve.at(0.25).estimate, 0.5);
  assertClose(curve.at(0.5).estimate, 0.75);
  assertClose(curve.at(0.75).estimate, 1);
  assertClose(curve.at(0.125).estimate, 0.25, { relative: 0, absolute: 1e-12 + 0.01 });
});

// Properties: rises from 0 to 1; a score that says nothing lies on the diagonal; order is nothing.
Deno.test("concentrationCurve() rises from 0 to 1 whatever the order of rows", () => {
  const random = new SeededRandom(8);
  const rows = fc.array(fc.tuple(fc.constantFrom(0, 1), fc.integer({ min: 0, max: 5 })), {
    minLength: 5,
    maxLength: 40,
  }).filter((list) => list.some(([y]) => y === 1));
  fc.assert(
    fc.property(rows, (list) => {
      const of = (some: typeof list) =>
        concentrationCurve({
          outcome: some.map(([y]) => y),
          score: some.map(([, s]) => s),
        }, { seed: 2, replicates: 20 });
      const { events } = of(list);
      assert.equal(events[0], 0);
      assertClose(events[100]!, 1);
      events.forEach((value, k) => assert.ok(k === 0 || value >= events[k - 1]! - 1e-12));
      assertAllClose(of(list.toReversed()).events, events);
    }),
    { numRuns: 30 },
  );
  const outcome = Array.from({ length: 300 }, () => random.bernoulli(0.3));
  const flat = concentrationCurve({ outcome, score: outcome.map(() => 1) }, { seed: 1 });
  assertAllClose(flat.events, flat.patients);
});

// By hand.
Deno.test("sharesByType() puts first what makes most events", () => {
  const outcome = [1, 1, 0, 1, 0, 0, 0, 0];
  const type = ["B", "B", "B", "A", "A", "A", "A", "C"];
  const [first, second, third] = sharesByType({ outcome, type });
  assert.deepEqual([first!.type, second!.type, third!.type], ["B", "A", "C"]);
  assertClose(first!.shareOfEvents, 2 / 3);
  assertClose(first!.shareOfPatients, 3 / 8);
  assertClose(second!.rate.estimate, 1 / 4);
});

Deno.test("the complexity functions say what is wrong with their input", () => {
  const items = { redo: [0, 1] };
  assert.throws(
    () => complexityScore({ outcome: [0, 3], items }),
    new DataError("outcome", "0 or 1", 3, 1),
  );
  assert.throws(() => complexityScore({ outcome: [1, 1], items }), DataError);
  assert.throws(() => complexityScore({ outcome: [0, 1], items }).pointsOf({}), DataError);
  assert.throws(
    () => concentrationCurve({ outcome: [0, 0], score: [1, 2] }, { seed: 1 }),
    new DataError("outcome", "1 in at least one row", 0, 0),
  );
  assert.throws(() => sharesByType({ outcome: [0], type: ["A"] }), DataError);
});
