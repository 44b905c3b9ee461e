import assert from "node:assert/strict";
import { DataError, SeededRandom } from "mitral";
import { type ChainColumn, imputeColumns } from "../../lib/missing/mod.ts";
import { poolImputations } from "mitral";

const inPlace = { workers: 0 };

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

function meanOf(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]!;
  return sum / values.length;
}

// identity: the mean of y is 0 by construction; among those known it is far below 0. The limits of
// 60 cohorts hold it as often as they claim (binomial: 57 expected, fewer than 51 has chance 0.2 %).
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

Deno.test("imputeColumns() keeps the lower of two diameters below the upper", async () => {
  const random = new SeededRandom(2);
  const n = 300;
  const upper = Float64Array.from({ length: n }, () => Math.round(50 + 8 * random.normal()));
  const lower = upper.map((u) => Math.round(u - 3 - 12 * random.uniform()));
  const some = (values: Float64Array) => values.map((v) => random.uniform() < 0.4 ? NaN : v);
  const imputed = await imputeColumns({
    columns: [
      { name: "lower", kind: "number", values: some(lower) },
      { name: "upper", kind: "number", values: some(upper) },
    ],
    orders: [{ lower: "lower", upper: "upper" }],
  }, { sets: 3, seed: 1, iterations: 5, ...inPlace });
  for (let set = 0; set < 3; set++) {
    const [low, high] = [imputed.completed("lower", set), imputed.completed("upper", set)];
    low.forEach((value, i) => assert.ok(value < high[i]!, `row ${i}: ${value}, ${high[i]}`));
  }
});

// A column that applies to cause 1 only, while the cause itself is missing in some rows.
Deno.test("imputeColumns() completes conditional columns where they apply, and only there", async () => {
  const random = new SeededRandom(4);
  const n = 600;
  const x = Float64Array.from({ length: n }, () => random.normal());
  const truth = x.map((v) => random.choice([1, Math.exp(v), 0.5]));
  const depth = truth.map((cause, i) => cause === 1 ? 8 + x[i]! + random.normal() : NaN);
  const cause = truth.map((own) => random.uniform() < 0.2 ? NaN : own);
  const recorded = depth.map((v) => random.uniform() < 0.3 ? NaN : v);
  const imputed = await imputeColumns({
    columns: [
      { name: "x", kind: "number", values: x },
      { name: "cause", kind: "category", values: cause },
      { name: "depth", kind: "number", values: recorded, when: { column: "cause", oneOf: [1] } },
    ],
  }, { sets: 4, seed: 1, iterations: 4, ...inPlace });
  let told = 0;
  for (let set = 0; set < 4; set++) {
    const [cause1, depth1] = [imputed.completed("cause", set), imputed.completed("depth", set)];
    for (let i = 0; i < n; i++) {
      assert.ok(!Number.isNaN(cause1[i]!));
      assert.equal(Number.isNaN(depth1[i]!), cause1[i] !== 1, `row ${i}`);
      if (Number.isNaN(cause[i]!) && !Number.isNaN(recorded[i]!)) {
        told++;
        assert.equal(cause1[i], 1, "a depth that was measured tells the cause");
      }
    }
  }
  assert.ok(told > 0);
});

Deno.test("imputeColumns() works a source out from what was derived from it", async () => {
  const size = [2, 1.8, 2.2, 1.9, 2.1, 2];
  const mass = [100, NaN, 120, 95, NaN, 101];
  const index = [NaN, 50, NaN, NaN, NaN, NaN];
  const imputed = await imputeColumns({
    columns: [
      { name: "size", kind: "number", values: size },
      { name: "mass", kind: "number", values: mass },
    ],
    derived: [{ name: "index", rule: "ratio", of: ["mass", "size"], values: index }],
  }, { sets: 1, seed: 1, iterations: 2, ...inPlace });
  assert.equal(imputed.completed("mass", 0)[1], 90); // by hand: 50 * 1.8
  assert.deepEqual([...imputed.sets[0]!.mass!.rows], [4]);
});

// y = x^2 + 2 z: without the square, donors agree in z and not in x.
Deno.test("imputeColumns() predicts from derived columns", async () => {
  const random = new SeededRandom(9);
  const n = 500;
  const x = Float64Array.from({ length: n }, () => random.normal());
  const z = Float64Array.from({ length: n }, () => random.normal());
  const y = x.map((v, i) => v * v + 2 * z[i]! + 0.1 * random.normal());
  const recorded = y.map((v) => random.uniform() < 0.4 ? NaN : v);
  const data = {
    columns: [
      { name: "x", kind: "number", values: x },
      { name: "z", kind: "number", values: z },
      { name: "y", kind: "number", values: recorded },
    ] satisfies ChainColumn[],
  };
  const options = { sets: 1, seed: 1, iterations: 1, ...inPlace };
  const errorOf = (values: Float64Array) =>
    Math.sqrt(meanOf(values.map((v, i) => (v - y[i]!) ** 2)));
  const without = await imputeColumns(data, options);
  const square = { name: "square", rule: "product", of: ["x", "x"] } as const;
  const withSquare = await imputeColumns({ ...data, derived: [square] }, options);
  assert.ok(errorOf(withSquare.completed("y", 0)) < 0.3 * errorOf(without.completed("y", 0)));
  const bends = { name: "bends", rule: "bends", of: ["x"], knots: [-2, -0.7, 0.7, 2] } as const;
  const withBends = await imputeColumns({ ...data, derived: [bends] }, options);
  assert.ok(errorOf(withBends.completed("y", 0)) < 0.6 * errorOf(without.completed("y", 0)));
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
