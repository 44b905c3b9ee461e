import assert from "node:assert/strict";
import { drawChiSquare } from "../../lib/missing/draw/random-draws.ts";
import { derivedValue } from "../../lib/missing/chain/chain-data.ts";
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
