import assert from "node:assert/strict";
import { DataError, SeededRandom } from "mitral";
import { type ChainColumn, imputeColumns } from "../../lib/missing/mod.ts";
import { poolImputations } from "mitral";
import { inPlace, meanOf } from "./invented-columns.ts";

/** Two numbers, the second missing more often where the first is high; known truth: mean 0. */
function twoNumbers(seed: number, n: number) {
  const random = new SeededRandom(seed);
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    x[i] = random.normal();
    const full = 0.8 * x[i]! + 0.6 * random.normal();
    y[i] = random.uniform() < 1 / (1 + Math.exp(0.5 - x[i]!)) ? NaN : full;
  }
  return { x, y };
}

// identity: the mean of y is 0 by construction; among those known it is far below 0. The limits of
// 60 cohorts hold it as often as they claim (binomial: 57 expected, fewer than 51 has
// chance 0.2 %).
Deno.test("imputeColumns() undoes a selection that the other column explains", async () => {
  let held = 0;
  let bias = 0;
  let known = 0;
  const cohorts = 60;
  for (let seed = 1; seed <= cohorts; seed++) {
    const { x, y } = twoNumbers(seed, 200);
    const imputed = await imputeColumns({
      columns: [
        { name: "x", kind: "number", values: x },
        { name: "y", kind: "number", values: y },
      ],
    }, { sets: 10, seed, iterations: 2, ...inPlace });
    const estimates = imputed.sets.map((_, set) => meanOf(imputed.completed("y", set)));
    const variances = imputed.sets.map((_, set) => {
      const values = imputed.completed("y", set);
      const mean = meanOf(values);
      return meanOf(values.map((v) => (v - mean) ** 2)) / (values.length - 1);
    });
    const pooled = poolImputations({ estimates, variances, completeDegreesOfFreedom: 199 });
    if (pooled.lower <= 0 && pooled.upper >= 0) held++;
    bias += pooled.estimate / cohorts;
    known += meanOf(y.filter((v) => !Number.isNaN(v))) / cohorts;
  }
  assert.ok(known < -0.2, `the known alone: ${known}`);
  // standard error of a pooled mean is about 0.09: of the mean of 60, 0.012
  assert.ok(Math.abs(bias) < 0.04, `bias ${bias}`);
  assert.ok(held >= 51, `limits held the truth in ${held} of ${cohorts}`);
});

/** Levels that follow x, missing where z (which follows x) is high. */
function levelled(seed: number, n: number, chances: (x: number) => number[]) {
  const random = new SeededRandom(seed);
  const x = Float64Array.from({ length: n }, () => random.normal());
  const full = x.map((own) => random.choice(chances(own)));
  const level = full.map((own, i) => random.uniform() < 1 / (1 + Math.exp(-2 * x[i]!)) ? NaN : own);
  return { x, full, level };
}

const shares = (values: ArrayLike<number>, level: number) =>
  meanOf(Float64Array.from(values, (v) => v === level ? 1 : 0));

for (
  const [kind, chances] of [
    ["binary", (x: number) => [1, Math.exp(0.3 + x)]],
    ["ordered", (x: number) => [1, Math.exp(0.5 + 0.8 * x), Math.exp(1.6 * x)]],
    ["category", (x: number) => [1, Math.exp(0.2 - x), Math.exp(x)]],
  ] as const
) {
  Deno.test(`imputeColumns() gives back the shares of levels: ${kind}`, async () => {
    const { x, full, level } = levelled(7, 4000, chances);
    const imputed = await imputeColumns({
      columns: [
        { name: "x", kind: "number", values: x },
        { name: "level", kind, values: level },
      ],
    }, { sets: 5, seed: 3, iterations: 2, ...inPlace });
    const known = level.filter((v) => !Number.isNaN(v));
    for (const one of new Set(known)) {
      const truth = shares(full, one);
      const pooled = meanOf(
        imputed.sets.map((_, set) => shares(imputed.completed("level", set), one)),
      );
      // half of 4000 are drawn: standard error at most 0.011, and that of the model's coefficients
      assert.ok(Math.abs(pooled - truth) < 0.03, `${kind} ${one}: ${pooled}, truth ${truth}`);
    }
    const worst = Math.max(
      ...[...new Set(known)].map((one) => Math.abs(shares(known, one) - shares(full, one))),
    );
    assert.ok(worst > 0.05, "the known alone are far off, or this shows nothing");
  });
}

Deno.test("imputeColumns() gives the same sets whatever the number of workers", async () => {
  const { x, y } = twoNumbers(5, 150);
  const columns: ChainColumn[] = [
    { name: "x", kind: "number", values: x },
    { name: "y", kind: "number", values: y },
    { name: "high", kind: "binary", values: x.map((v, i) => i % 7 === 0 ? NaN : v > 0 ? 1 : 0) },
  ];
  const options = { sets: 3, seed: 11, iterations: 3 };
  const here = await imputeColumns({ columns }, { ...options, workers: 0 });
  const shared = await imputeColumns({ columns }, { ...options, workers: 2 });
  assert.deepEqual(shared.sets, here.sets);
  assert.deepEqual(shared.traces, here.traces);
  // and set 0 is the same however many there are
  const more = await imputeColumns({ columns }, { ...options, sets: 4, workers: 0 });
  assert.deepEqual(more.sets.slice(0, 3), here.sets);
  assert.notDeepEqual(here.sets[0], here.sets[1]);
});

Deno.test("imputeColumns() leaves known values, and what it was given, as they are", async () => {
  const { x, y } = twoNumbers(6, 80);
  const before = y.slice();
  const imputed = await imputeColumns({
    columns: [{ name: "x", kind: "number", values: x }, { name: "y", kind: "number", values: y }],
  }, { sets: 2, seed: 1, iterations: 2, ...inPlace });
  assert.deepEqual(y, before);
  const completed = imputed.completed("y", 1);
  const known = new Set(y.filter((v) => !Number.isNaN(v)));
  completed.forEach((value, i) => {
    if (!Number.isNaN(y[i]!)) assert.equal(value, y[i]);
    else assert.ok(known.has(value), "a number is one that was known in somebody");
  });
});

Deno.test("imputeColumns() moves what it draws where values are not missing at random", async () => {
  const { x, y } = twoNumbers(8, 400);
  const rows = x.map((_, i) => i % 2);
  const run = async (by: number) => {
    const columns: ChainColumn[] = [
      { name: "x", kind: "number", values: x },
      { name: "y", kind: "number", values: y, shift: { by, rows, within: [-2, 2] } },
    ];
    const imputed = await imputeColumns({ columns }, {
      sets: 1,
      seed: 1,
      iterations: 1,
      ...inPlace,
    });
    return imputed.sets[0]!.y!;
  };
  const [still, moved] = [await run(0), await run(0.5)];
  still.rows.forEach((row, k) => {
    const expected = rows[row]
      ? Math.min(2, Math.max(-2, still.values[k]! + 0.5))
      : still.values[k];
    assert.equal(moved.values[k], expected);
  });
});

Deno.test("imputeColumns() keeps a coefficient finite where a column separates the levels", async () => {
  const n = 60;
  const x = Float64Array.from({ length: n }, (_, i) => i);
  const high = x.map((v) => v % 5 === 0 ? NaN : v >= 30 ? 1 : 0);
  const imputed = await imputeColumns({
    columns: [{ name: "x", kind: "number", values: x }, {
      name: "high",
      kind: "binary",
      values: high,
    }],
  }, { sets: 5, seed: 1, iterations: 1, ...inPlace });
  for (let set = 0; set < 5; set++) {
    const values = imputed.completed("high", set);
    assert.equal(values[0], 0);
    assert.equal(values[55], 1);
  }
});

Deno.test("imputeColumns() says what is wrong and where", async () => {
  const x = [1, 2, 3];
  const attempt = (columns: ChainColumn[], more = {}) =>
    imputeColumns({ columns, ...more }, { sets: 1, seed: 1, ...inPlace });
  const refuses = (promise: Promise<unknown>, words: RegExp) =>
    assert.rejects(
      promise,
      (error: unknown) => error instanceof DataError && words.test(error.message),
    );
  await refuses(attempt([]), /columns must be/);
  await refuses(
    attempt([
      { name: "x", kind: "number", values: x },
      { name: "y", kind: "number", values: [1, 2] },
    ]),
    /columns.y must be of length 3/,
  );
  await refuses(
    attempt([{ name: "x", kind: "number", values: [1, Infinity, 2] }]),
    /columns.x\[1\] must be finite/,
  );
  await refuses(
    attempt([
      { name: "x", kind: "number", values: x },
      { name: "y", kind: "number", values: [NaN, NaN, NaN] },
    ]),
    /columns.y must be known in at least one row/,
  );
  await refuses(
    attempt([
      { name: "x", kind: "number", values: x, when: { column: "y", above: 0 } },
      { name: "y", kind: "number", values: x, when: { column: "x", above: 0 } },
    ]),
    /when.column/,
  );
  await refuses(
    attempt([{ name: "x", kind: "category", values: x, shift: { by: 1 } }]),
    /shift must be of a number/,
  );
  await refuses(
    imputeColumns({ columns: [{ name: "x", kind: "number", values: x }] }, { sets: 0, seed: 1 }),
    /sets must be a whole number >= 1/,
  );
});

// Identity: in the last pass, what the trace of a category follows is what the set then holds.
Deno.test("imputeColumns() traces the share of a category's commonest known level", async () => {
  const { x, level } = levelled(8, 600, (x) => [0.4, Math.exp(x / 2), 1.5]);
  const { traces, sets, completed } = await imputeColumns({
    columns: [
      { name: "x", kind: "number", values: x },
      { name: "level", kind: "category", values: level },
    ],
  }, { sets: 3, seed: 3, iterations: 2, ...inPlace });
  const counts = [0, 1, 2].map((one) => level.filter((value) => value === one).length);
  const commonest = counts.indexOf(Math.max(...counts));
  assert.equal(commonest, 2, "another is commonest: this shows less");
  sets.forEach((_, set) => {
    const drawn = completed("level", set).filter((_, i) => Number.isNaN(level[i]!));
    const { mean, spread } = traces.level![set]!;
    const share = shares(drawn, commonest);
    assert.ok(Math.abs(mean.at(-1)! - share) < 1e-12, `${mean.at(-1)}, ${share}`);
    const n = drawn.length;
    assert.ok(Math.abs(spread.at(-1)! - Math.sqrt(share * (1 - share) * n / (n - 1))) < 1e-12);
  });
});
