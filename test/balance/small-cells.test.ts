import assert from "node:assert/strict";
import fc from "fast-check";
import { publishableCells } from "../../lib/balance/small-cells.ts";

// By hand.
Deno.test("publishableCells() hides a companion of a single small count", () => {
  const shown = (counts: number[], whole?: number[]) =>
    publishableCells(counts, 11, whole).map((cell) => cell.shown);
  assert.deepEqual(shown([5, 40, 20]), ["few", "count", "hidden"]);
  assert.deepEqual(shown([5, 6, 20]), ["few", "few", "count"]);
  assert.deepEqual(shown([0, 40, 20]), ["count", "count", "count"]);
  assert.deepEqual(shown([5, 0]), ["few", "count"]);
  // 58 before and 49 matched would tell that 9 were not matched
  assert.deepEqual(shown([194, 49], [400, 58]), ["hidden", "hidden"]);
});

Deno.test("publishableCells() never shows a small count, nor leaves one to be worked out", () => {
  const counts = fc.array(fc.nat({ max: 40 }), { minLength: 2, maxLength: 6 });
  fc.assert(fc.property(counts, (values) => {
    const cells = publishableCells(values, 11);
    let withheld = 0;
    cells.forEach((cell, i) => {
      if (cell.shown !== "count") withheld++;
      else assert.ok(cell.count === 0 || cell.count >= 11);
      if (cell.shown === "few") assert.ok(values[i]! > 0 && values[i]! < 11);
    });
    const others = values.filter((count) => count > 0).length;
    assert.ok(withheld !== 1 || others === 1);
  }));
});
