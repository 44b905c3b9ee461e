import assert from "node:assert/strict";
import { SeededRandom } from "mitral";
import { type ChainColumn, imputeColumns } from "../../lib/missing/mod.ts";
import { inPlace, meanOf } from "./invented-columns.ts";

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
