import assert from "node:assert/strict";
import fc from "fast-check";
import { heldOut, optimism, optimismOfEach } from "../../../lib/sensitivity/mod.ts";
import { DataError } from "../../../lib/numerics/mod.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { assertAllClose, assertClose } from "../../close.ts";

const meanOf = (x: readonly number[], rows: Int32Array) =>
  rows.reduce((sum, row) => sum + x[row]!, 0) / rows.length;
const errorOf = (x: readonly number[], rows: Int32Array, centre: number) =>
  rows.reduce((sum, row) => sum + (x[row]! - centre) ** 2, 0) / rows.length;

Deno.test("optimism() of the squared error of a mean is twice the variance over n", () => {
  // by hand: in the bootstrap the mean's own sample gives s2 (1 - 1/n), the patients s2 (1 + 1/n)
  const random = new SeededRandom(3);
  const x = Array.from({ length: 30 }, () => random.normal());
  const all = Int32Array.from(x, (_, row) => row);
  const spread = errorOf(x, all, meanOf(x, all));
  const found = optimism(
    x.length,
    {
      make: (rows) => meanOf(x, rows),
      measure: (centre, rows) => -errorOf(x, rows, centre),
    },
    { seed: 1, replicates: 20_000 },
  );
  assertClose(found.apparent, -spread, { relative: 1e-12, absolute: 1e-12 });
  // the error of 20,000 replicates is about 0.005 s2
  assertClose(found.optimism / spread, 2 / 30, { relative: 0.02, absolute: 0.02 });
  assertClose(found.corrected, found.apparent - found.optimism, {
    relative: 1e-15,
    absolute: 1e-15,
  });
});

Deno.test("optimism() of what does not depend on the model is that of chance alone", () => {
  fc.assert(fc.property(fc.nat(), fc.integer({ min: 2, max: 30 }), (seed, n) => {
    const found = optimism(n, { make: () => 0, measure: () => 0.7 }, { seed, replicates: 5 });
    assert.deepEqual(
      [found.apparent, found.optimism, found.corrected, found.failed],
      [0.7, 0, 0.7, 0],
    );
  }));
});

Deno.test("optimism() makes one model a replicate, and one of the rows themselves", () => {
  let made = 0;
  optimism(5, { make: () => made++, measure: () => 1 }, { seed: 1, replicates: 7 });
  assert.equal(made, 8);
});

Deno.test("optimism() of one replicate is that replicate's, and of none is refused", () => {
  const x = [1, 4, 9];
  const drawn: Int32Array[] = [];
  const parts = {
    make: (rows: Int32Array) => (drawn.push(rows.slice()), meanOf(x, rows)),
    measure: (centre: number, rows: Int32Array) => -errorOf(x, rows, centre),
  };
  const { replicates, optimism: one } = optimism(x.length, parts, { seed: 2, replicates: 1 });
  assert.equal(replicates, 1);
  const [all, rows] = drawn as [Int32Array, Int32Array];
  const centre = meanOf(x, rows);
  assertClose(one, errorOf(x, all, centre) - errorOf(x, rows, centre));
  assert.throws(() => optimism(x.length, parts, { seed: 2, replicates: 0 }), DataError);
});

Deno.test("optimism() leaves out replicates without a number, and stops where most have none", () => {
  const make = () => 0;
  let call = 0;
  const some = optimism(5, { make, measure: () => ++call % 8 === 2 ? NaN : 1 }, {
    seed: 1,
    replicates: 20,
  });
  assert.ok(some.failed > 0 && some.failed + some.replicates === 20);
  let first = true;
  const rarely = () => first ? (first = false, 1) : NaN;
  assert.throws(
    () => optimism(5, { make, measure: rarely }, { seed: 1 }),
    /at least half of the replicates/,
  );
  assert.throws(
    () => optimism(5, { make, measure: () => NaN }, { seed: 1 }),
    /finite for the rows themselves/,
  );
});

Deno.test("heldOut() predicts each row from the others", () => {
  // by hand: with as many parts as rows the model is the mean of the others
  const x = [1, 4, 7, 12];
  const found = heldOut(4, (made, left) => Array.from(left, () => meanOf(x, made)), {
    seed: 1,
    parts: 4,
  });
  assertAllClose(found, [23 / 3, 20 / 3, 17 / 3, 4], { relative: 1e-6, absolute: 1e-6 });
});

Deno.test("heldOut() deals every row into one part, and no row predicts itself", () => {
  fc.assert(fc.property(
    fc.integer({ min: 2, max: 60 }),
    fc.integer({ min: 2, max: 12 }),
    fc.nat(),
    (n, parts, seed) => {
      fc.pre(n >= parts);
      const dealt = new Int32Array(n);
      heldOut(n, (made, left) => {
        assert.equal(made.length + left.length, n);
        assert.ok(Math.abs(left.length - n / parts) < 1);
        for (const row of left) {
          dealt[row]!++;
          assert.ok(!made.includes(row));
        }
        return left;
      }, { seed, parts });
      assert.ok(dealt.every((times) => times === 1));
    },
  ));
  assert.throws(() => heldOut(3, (_, left) => left, { seed: 1, parts: 4 }), /at least 4 rows/);
  assert.throws(() => heldOut(4, () => [], { seed: 1, parts: 2 }), /2 predictions/);
});

// Identity: several measures of one model are those taken one by one, with each model made once.
Deno.test("optimismOfEach() gives each measure its own optimism", () => {
  const random = new SeededRandom(4);
  const x = Array.from({ length: 25 }, () => random.normal());
  let made = 0;
  const make = (rows: Int32Array) => {
    made++;
    return meanOf(x, rows);
  };
  const error = (centre: number, rows: Int32Array) => errorOf(x, rows, centre);
  const options = { seed: 9, replicates: 30 };
  const both = optimismOfEach(x.length, {
    make,
    measure: (centre, rows) => ({ error: error(centre, rows), twice: 2 * error(centre, rows) }),
  }, options);
  assert.equal(made, 31);
  assert.deepEqual(both.error, optimism(x.length, { make, measure: error }, options));
  assertClose(both.twice.optimism, 2 * both.error.optimism);
  assert.throws(
    () => optimismOfEach(5, { make: () => 0, measure: () => ({ none: NaN }) }, options),
    /none must be finite/,
  );
});
