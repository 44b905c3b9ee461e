// Of very many rows a model of known values is fitted to some of them: what is drawn stays right.
import { deepEqual, equal, ok } from "node:assert/strict";
import { evenly } from "../../lib/missing/chain/complete.ts";
import { imputeColumns } from "../../lib/missing/mod.ts";
import { SeededRandom } from "../../lib/numerics/mod.ts";

Deno.test("rows are chosen evenly: each once, one out of each stretch", () => {
  const rows = Int32Array.from({ length: 1000 }, (_, i) => 3 * i);
  const chosen = evenly(rows, 99, new SeededRandom(1));
  equal(chosen.length, 99);
  equal(new Set(chosen).size, 99);
  const stretch = 1000 / 99;
  chosen.forEach((row, k) => ok(row / 3 >= k * stretch - 1 && row / 3 < (k + 1) * stretch));
  deepEqual([...evenly(rows, 1000, new SeededRandom(2))], [...rows]);
});

Deno.test("the relation that values were made with is drawn, rare levels with it", async () => {
  const n = 60_000;
  const random = new SeededRandom(4);
  const x = Float64Array.from({ length: n }, () => random.normal());
  const noise = Float64Array.from({ length: n }, () => random.normal());
  const y = x.map((value, i) => random.bernoulli(0.1) ? NaN : 2 * value + noise[i]!);
  // a level of three patients, which a choice of rows may well leave out
  const grade = x.map((value, i) =>
    i % 20_000 === 7 ? 3 : random.bernoulli(0.1) ? NaN : value > 0 ? 1 : 0
  );
  const imputed = await imputeColumns({
    columns: [
      { name: "x", kind: "number", values: x },
      { name: "y", kind: "number", values: y },
      { name: "grade", kind: "ordered", values: grade },
    ],
  }, { sets: 1, seed: 3, iterations: 2, workers: 0 });
  const { rows, values } = imputed.sets[0]!["y"]!;
  let products = 0;
  let squares = 0;
  rows.forEach((row, k) => {
    products += x[row]! * values[k]!;
    squares += x[row]! ** 2;
  });
  // slope 2 by construction; its standard error over 6,000 values is 1 / sqrt(6000) = 0.013
  ok(Math.abs(products / squares - 2) < 6 * 0.013, String(products / squares));
  const drawn = imputed.sets[0]!["grade"]!;
  let right = 0;
  drawn.rows.forEach((row, k) => right += Number(drawn.values[k] === (x[row]! > 0 ? 1 : 0)));
  ok(right / drawn.rows.length > 0.9, String(right / drawn.rows.length));
});
