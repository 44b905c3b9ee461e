import assert from "node:assert/strict";
import * as mitral from "mitral";
import { assertClose } from "../../close.ts";

const dimensions: mitral.Dimension[] = [
  { id: "a", label: "First", options: [{ id: "x", label: "X" }, { id: "y", label: "Y" }] },
  {
    id: "b",
    label: "Second",
    options: [{ id: "p", label: "P" }, { id: "q", label: "Q" }, { id: "r", label: "R" }],
  },
];
const add: Record<string, number> = { x: 0, y: 3, p: -1, q: 0, r: 0.5 };
const pathsOf = (effect: (choices: mitral.Choices) => number) =>
  mitral.everyPath(dimensions).map((choices): mitral.Path => {
    const estimate = effect(choices);
    return { choices, estimate, standardError: 0.5, lower: estimate - 1, upper: estimate + 1 };
  });
const additive = pathsOf((choices) => add[choices.a!]! + add[choices.b!]!);

Deno.test("everyPath() makes every combination that makes sense", () => {
  assert.deepEqual(mitral.everyPath(dimensions).map(({ a, b }) => `${a}${b}`), [
    "xp",
    "xq",
    "xr",
    "yp",
    "yq",
    "yr",
  ]);
  const some = mitral.everyPath(dimensions, ({ a, b }) => a === "x" || b === "p");
  assert.equal(some.length, 4);
  assert.throws(() => mitral.everyPath([]), /dimensions/);
  assert.throws(() => mitral.everyPath([dimensions[0]!, dimensions[0]!]), /different ids/);
});

// by hand: the estimates are 3 (a = y) plus -1, 0 or 0.5 (b), so of their total sum of squares
// 6 * 1.5^2 = 13.5 goes with a, and 2 * (0.8333^2 + 0.1667^2 + 0.6667^2) = 2.3333 with b
Deno.test("specificationCurve() sorts, counts and says which choice moves the answer", () => {
  const curve = mitral.specificationCurve(
    { dimensions, paths: additive, planned: { a: "x", b: "r" } },
    { smallestDifference: 2 },
  );
  assert.deepEqual(curve.paths.map(({ estimate }) => estimate), [-1, 0, 0.5, 2, 3, 3.5]);
  assert.equal(curve.planned, 2);
  assert.deepEqual(curve.paths.map(({ planned }) => planned), [0, 0, 1, 0, 0, 0].map(Boolean));
  assertClose(curve.estimates.median, 1.25);
  assertClose(curve.shares.below, 1 / 6);
  assertClose(curve.shares.above, 4 / 6);
  assertClose(curve.shares.clearlyAbove, 3 / 6); // 2, 3 and 3.5 less 1
  assert.equal(curve.shares.clearlyBelow, 0);
  assertClose(curve.shares.mattersAbove, 3 / 6);
  assert.equal(curve.shares.mattersBelow, 0);
  assertClose(curve.shares.noneMatters, 2 / 6); // 0 and 0.5: -1 reaches -2
  const [first, second] = curve.influence;
  assert.deepEqual([first!.dimension, first!.lowest, first!.highest], ["a", "X", "Y"]);
  assertClose(first!.spread, 3);
  assertClose(second!.spread, 1.5);
  const total = 13.5 + 2.333333333333333;
  assertClose(first!.share, 13.5 / total);
  assertClose(second!.share, 2.333333333333333 / total);
});

Deno.test("choiceInfluence() leaves to nobody what choices do only together", () => {
  const crossed = pathsOf(({ a, b }) => (a === "x") === (b === "p") ? 1 : -1);
  const shares = mitral.choiceInfluence(dimensions, crossed).map(({ share }) => share);
  assert.ok(shares.reduce((sum, share) => sum + share, 0) < 0.2, String(shares));
});

Deno.test("specificationCurve() refuses paths that cannot be", () => {
  const run = (paths: mitral.Path[], smallestDifference = 1) =>
    mitral.specificationCurve({ dimensions, paths, planned: {} }, { smallestDifference });
  assert.equal(run(additive).planned, null);
  assert.throws(() => run([]), /paths must be at least one/);
  assert.throws(() => run([additive[0]!, additive[0]!]), /there once each/);
  assert.throws(
    () => run([{ ...additive[0]!, choices: { a: "x", b: "z" } }]),
    /paths.choices.b\[0\] must be one of p, q, r/,
  );
  assert.throws(() => run([{ ...additive[0]!, estimate: 9 }]), /within its limits/);
  assert.throws(() => run(additive, 0), /smallestDifference/);
});
