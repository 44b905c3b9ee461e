import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, intervalCensoredSurvival, kaplanMeier } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";
import { visits } from "./interval-cohorts.ts";

const cosmesis = (chemo: string) => {
  const rows = referenceRows("cosmesis.csv").filter((row) => row.chemo === chemo);
  const upper = numeric(rows, "right").map((t) => Number.isNaN(t) ? Infinity : t);
  return { lower: numeric(rows, "left"), upper };
};

for (const [chemo, arm] of [["0", "radiotherapy"], ["1", "radiotherapyPlusChemo"]] as const) {
  Deno.test(`intervalCensoredSurvival() matches reference case turnbull-cosmesis, ${arm}`, () => {
    const { expected, tolerance } = referenceCase("turnbull-cosmesis");
    const fit = intervalCensoredSurvival(cosmesis(chemo));
    assert.ok(fit.converged);
    assertAllClose(fit.left, expected[arm].lower, tolerance, "left");
    assertAllClose(fit.right, expected[arm].upper, tolerance, "right");
    assertAllClose(fit.mass, expected[arm].mass, tolerance, "mass");
    assertAllClose(fit.survival, expected[arm].survivalAfter, tolerance, "survival");
    assertClose(fit.logLikelihood, expected[arm].loglik, tolerance, "log-likelihood");
  });
}

// By hand: mass only at 2 and 3; the likelihood is p (1 - p)^5 with the five intervals certain.
Deno.test("intervalCensoredSurvival() mixes exact times and intervals", () => {
  const fit = intervalCensoredSurvival({ lower: [2, 3, 1], upper: [2, 3, 3], weight: [1, 5, 5] });
  assert.deepEqual([[...fit.left], [...fit.right]], [[2, 3], [2, 3]]);
  assertAllClose(fit.mass, [1 / 6, 5 / 6]);
  assertAllClose(fit.at([1, 2, 2.5, 3, 9]).survival, [1, 5 / 6, 5 / 6, 0, 0]);
});

// By hand: one row in (1, 2], one never seen after 3.
Deno.test("intervalCensoredSurvival() says where survival is not determined", () => {
  const fit = intervalCensoredSurvival({ lower: [1, 3], upper: [2, Infinity] });
  const { survival, least, greatest, lower } = fit.at([0, 1, 1.5, 2, 3, 4]);
  assertAllClose(survival, [1, 1, NaN, 0.5, 0.5, NaN]);
  assertAllClose(least, [1, 1, 0.5, 0.5, 0.5, 0]);
  assertAllClose(greatest, [1, 1, 1, 0.5, 0.5, 0.5]);
  assert.ok(lower.every(Number.isNaN), "no limits unless asked for");
});

const exactRows = fc.array(
  fc.record({ time: fc.integer({ min: 0, max: 12 }), event: fc.integer({ min: 0, max: 1 }) }),
  { minLength: 1, maxLength: 40 },
);

Deno.test("intervalCensoredSurvival() equals kaplanMeier() on exact times (identity)", () => {
  fc.assert(fc.property(exactRows, (rows) => {
    const time = rows.map((row) => row.time);
    const event = rows.map((row) => row.event);
    const fit = intervalCensoredSurvival({
      lower: time,
      upper: time.map((t, i) => event[i] ? t : Infinity),
    });
    const curve = kaplanMeier({ time, event });
    const upTo = fit.right.map((r) => Number.isFinite(r) ? r : 0);
    const close = { relative: 1e-6, absolute: 1e-6 };
    assert.ok(fit.converged, fit.reason ?? "");
    assertAllClose(fit.at(curve.time).greatest, curve.survival, close);
    assertAllClose(fit.at(upTo).greatest, curve.at(upTo).survival, close);
  }));
});

const intervals = fc.array(
  fc.tuple(
    fc.integer({ min: 0, max: 15 }),
    fc.integer({ min: 0, max: 6 }),
    fc.boolean(),
    fc.integer({ min: 1, max: 3 }),
  ).map(([lower, width, seen, weight]) => ({
    lower,
    upper: seen ? lower + width : Infinity,
    weight,
  })),
  { minLength: 1, maxLength: 30 },
);
const columns = (rows: { lower: number; upper: number; weight: number }[]) => ({
  lower: rows.map((row) => row.lower),
  upper: rows.map((row) => row.upper),
  weight: rows.map((row) => row.weight),
});

Deno.test("intervalCensoredSurvival() meets the Kuhn-Tucker conditions everywhere", () => {
  fc.assert(fc.property(intervals, (rows) => {
    const data = columns(rows);
    const fit = intervalCensoredSurvival(data);
    assert.ok(fit.converged, fit.reason ?? "");
    assertClose(fit.mass.reduce((sum, p) => sum + p, 0), 1);
    // the derivative towards a point mass at t, row by row: written apart from the estimator
    const holds = (row: typeof rows[0], l: number, r: number) =>
      row.lower === row.upper
        ? l === r && l === row.lower
        : (l === r ? row.lower < l : row.lower <= l) && r <= row.upper;
    const probability = rows.map((row) =>
      fit.mass.reduce((sum, p, j) => holds(row, fit.left[j]!, fit.right[j]!) ? sum + p : sum, 0)
    );
    const total = data.weight.reduce((sum, w) => sum + w, 0);
    const towards = (l: number, r: number) =>
      rows.reduce((sum, row, i) => holds(row, l, r) ? sum + row.weight / probability[i]! : sum, 0);
    for (let t = 0; t <= 22; t++) {
      assert.ok(towards(t, t) <= total * (1 + 1e-8), `exact time ${t}`);
      assert.ok(towards(t, t + 0.5) <= total * (1 + 1e-8), `just after ${t}`);
    }
  }));
});

Deno.test("intervalCensoredSurvival() takes a weight as so many equal rows, in any order", () => {
  fc.assert(
    fc.property(intervals, (rows) => {
      const fit = intervalCensoredSurvival(columns(rows));
      const copies = rows.flatMap((row) => Array(row.weight).fill({ ...row, weight: 1 })).reverse();
      const again = intervalCensoredSurvival(columns(copies));
      assertClose(again.logLikelihood, fit.logLikelihood, { relative: 1e-8, absolute: 1e-7 });
      assertAllClose(again.right, fit.right);
    }),
    { numRuns: 50 },
  );
});

Deno.test("intervalCensoredSurvival() has the same limits from the same seed", () => {
  const [data, options] = [visits(1), { bootstrap: 50, seed: 5 }];
  const fit = intervalCensoredSurvival(data, options);
  assert.deepEqual(intervalCensoredSurvival(data, options).lower, fit.lower);
  assert.notDeepEqual(intervalCensoredSurvival(data, { bootstrap: 50, seed: 6 }).lower, fit.lower);
  const wide = intervalCensoredSurvival(data, { ...options, confidence: 0.99 });
  fit.lower.forEach((value, j) => assert.ok(wide.lower[j]! <= value));
});

Deno.test("intervalCensoredSurvival() says so when it stops early", () => {
  const fit = intervalCensoredSurvival(cosmesis("1"), { maxIterations: 2 });
  assert.equal(fit.converged, false);
  assert.match(fit.reason!, /violation .* after 2 iterations/);
});

Deno.test("intervalCensoredSurvival() has a result for the smallest inputs", () => {
  assert.deepEqual([...intervalCensoredSurvival({ lower: [0], upper: [0] }).survival], [0]);
  assert.deepEqual([...intervalCensoredSurvival({ lower: [3], upper: [3] }).mass], [1]);
  const never = intervalCensoredSurvival({ lower: [1, 2], upper: [Infinity, Infinity] });
  assert.deepEqual([...never.left, ...never.right], [2, Infinity]);
  assert.deepEqual([...never.at([2]).survival], [1]);
});

Deno.test("intervalCensoredSurvival() ties ends computed two ways", () => {
  const fit = intervalCensoredSurvival({ lower: [0, 0.1 + 0.2], upper: [0.3, 1] });
  assert.deepEqual([...fit.mass], [0.5, 0.5]);
  assert.throws(
    () => intervalCensoredSurvival({ lower: [0.3], upper: [0.1 + 0.2] }),
    /clearly above its lower end/,
  );
});

Deno.test("intervalCensoredSurvival() names what is wrong with its input", () => {
  const cases: [Parameters<typeof intervalCensoredSurvival>[0], string][] = [
    [{ lower: [], upper: [] }, "lower"],
    [{ lower: [-1], upper: [1] }, "lower"],
    [{ lower: [Infinity], upper: [Infinity] }, "lower"],
    [{ lower: [2], upper: [1] }, "upper"],
    [{ lower: [2], upper: [NaN] }, "upper"],
    [{ lower: [2, 3], upper: [3] }, "upper"],
    [{ lower: [2], upper: [3], weight: [0] }, "weight"],
  ];
  for (const [data, argument] of cases) {
    assert.throws(
      () => intervalCensoredSurvival(data),
      (error: unknown) => error instanceof DataError && error.argument === argument,
      argument,
    );
  }
});
