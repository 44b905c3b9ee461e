import assert from "node:assert/strict";
import fc from "fast-check";
import { permutationTest } from "mitral";
import { assertClose } from "../../close.ts";
import { referenceCase } from "../../reference/load.ts";

// Reference: see the source of the case.
Deno.test("permutationTest() counts every assignment as the reference does", () => {
  const { expected, tolerance } = referenceCase("permutation-exact");
  for (const { x, y, difference, pTwoSided } of expected.twoGroups) {
    const found = permutationTest(x, y);
    assert.equal(found.exact, true);
    assertClose(found.difference, difference, tolerance);
    assertClose(found.pValue, pTwoSided, tolerance);
  }
  for (const { differences, meanDifference, pTwoSided } of expected.paired) {
    const found = permutationTest(differences, differences.map(() => 0), { paired: true });
    assert.equal(found.exact, true);
    assertClose(found.difference, meanDifference, tolerance);
    assertClose(found.pValue, pTwoSided, tolerance);
  }
});

Deno.test("permutationTest() draws assignments where there are too many, near the exact p", () => {
  const [{ x, y, pTwoSided }] = referenceCase("permutation-exact").expected.twoGroups.slice(2);
  const found = permutationTest(x, y, { assignments: 10_000, seed: 4 });
  assert.equal(found.exact, false);
  // four Monte-Carlo errors of a share
  const error = Math.sqrt(pTwoSided * (1 - pTwoSided) / 10_000);
  assert.ok(Math.abs(found.pValue - pTwoSided) < 4 * error);
  assert.deepEqual(permutationTest(x, y, { assignments: 10_000, seed: 4 }), found);
  const many = Array.from({ length: 60 }, (_, i) => i % 7);
  const apart = permutationTest(many, many.map((value) => value + 50));
  assert.equal(apart.exact, false);
  assert.equal(apart.pValue, 1 / 100_000);
  const pairs = permutationTest(many, many.map((value) => value + 1), { paired: true });
  assert.equal(pairs.pValue, 1 / 100_000);
});

Deno.test("permutationTest() does not depend on names of groups, shifts or scale", () => {
  const column = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 6 });
  fc.assert(fc.property(column, column, (a, b) => {
    const { pValue, difference } = permutationTest(a, b);
    const swapped = permutationTest(b, a);
    assertClose(swapped.pValue, pValue);
    assertClose(swapped.difference, -difference);
    const moved = (values: number[]) => values.map((value) => 1e6 + 0.001 * value);
    assertClose(permutationTest(moved(a), moved(b)).pValue, pValue);
    assert.ok(pValue > 0 && pValue <= 1);
  }));
});

Deno.test("permutationTest() refuses an empty group and pairs of unlike length", () => {
  assert.throws(() => permutationTest([], [1]), /^DataError: a must be at least one value/);
  assert.throws(() => permutationTest([1, 2], [1], { paired: true }), /b must be of length 2/);
  assert.throws(() => permutationTest([1], [2], { assignments: 0 }), /assignments/);
});
