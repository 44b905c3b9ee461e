import assert from "node:assert/strict";
import { drawChiSquare } from "../../lib/missing/draw/random-draws.ts";
import { checkChainData, derivedValue } from "../../lib/missing/chain/chain-data.ts";
import { SeededRandom } from "../../lib/numerics/mod.ts";
import { meanOf } from "./invented-columns.ts";

// Closed form: the mean is df, the variance 2 df.
Deno.test("drawChiSquare() has the mean and the variance of its distribution", () => {
  const random = new SeededRandom(11);
  const n = 40_000;
  for (const df of [0.5, 1, 3, 40]) {
    const drawn = Array.from({ length: n }, () => drawChiSquare(random, df));
    const mean = meanOf(drawn);
    const variance = meanOf(drawn.map((value) => (value - df) ** 2));
    // the fourth central moment is 12 df^2 + 48 df
    const ofVariance = Math.sqrt((12 * df ** 2 + 48 * df - (2 * df) ** 2) / n);
    assert.ok(Math.abs(mean - df) < 4 * Math.sqrt(2 * df / n), `${df}: mean ${mean}`);
    assert.ok(Math.abs(variance - 2 * df) < 4 * ofVariance, `${df}: variance ${variance}`);
  }
});

Deno.test("derivedValue() works out each rule (by hand)", () => {
  const rules = ["ratio", "product", "sum", "difference"] as const;
  assert.deepEqual(rules.map((rule) => derivedValue(rule, 6, 4)), [1.5, 24, 10, 2]);
  for (const rule of rules) {
    assert.ok(Number.isNaN(derivedValue(rule, NaN, 4)) && Number.isNaN(derivedValue(rule, 6, NaN)));
  }
});

// By hand: each rule solved for the value that is missing; what a zero leaves open stays open.
Deno.test("a missing source is worked out from what was derived and the other, unless a zero leaves it open", () => {
  const solved = (
    rule: "ratio" | "product" | "sum" | "difference",
    rows: [number, number, number][],
  ) => {
    const [a, b, values] = [0, 1, 2].map((k) => rows.map((row) => row[k]!));
    const { columns } = checkChainData({
      columns: [
        { name: "a", kind: "number", values: [...a!, 1] },
        { name: "b", kind: "number", values: [...b!, 1] },
      ],
      derived: [{ name: "c", rule, of: ["a", "b"], values: [...values!, NaN] }],
    });
    return rows.map((_, i) => [columns[0]!.values[i]!, columns[1]!.values[i]!]);
  };
  const whole: Record<string, [number, number, number][]> = {
    ratio: [[NaN, 4, 1.5], [6, NaN, 1.5], [NaN, 0, 3], [0, NaN, 2], [5, NaN, 0], [NaN, 4, 0]],
    product: [[NaN, 4, 24], [6, NaN, 24], [NaN, 0, 0], [0, NaN, 0], [5, NaN, 0], [NaN, 4, 0]],
    sum: [[NaN, 4, 10], [6, NaN, 10], [NaN, 0, 3], [0, NaN, 2], [5, NaN, 0], [NaN, 4, 0]],
    difference: [[NaN, 4, 2], [6, NaN, 2], [NaN, 0, 3], [0, NaN, 2], [5, NaN, 0], [NaN, 4, 0]],
  };
  assert.deepEqual(solved("ratio", whole.ratio!), [[6, 4], [6, 4], [0, 0], [0, 0], [5, NaN], [
    0,
    4,
  ]]);
  assert.deepEqual(
    solved("product", whole.product!),
    [[6, 4], [6, 4], [NaN, 0], [0, NaN], [5, 0], [0, 4]],
  );
  assert.deepEqual(solved("sum", whole.sum!), [[6, 4], [6, 4], [3, 0], [0, 2], [5, -5], [-4, 4]]);
  assert.deepEqual(
    solved("difference", whole.difference!),
    [[6, 4], [6, 4], [3, 0], [0, -2], [5, 5], [4, 4]],
  );
});
