import assert from "node:assert/strict";
import fc from "fast-check";
import { standardizedDifference } from "mitral";
import { tellingOf } from "../../lib/balance/tables/telling.ts";
import { roundTo } from "../../lib/words/mod.ts";

// The attack: sizes of both groups, the count of one, and the difference to a tenth are known.
function possibleCounts(n: readonly [number, number], other: number, printed: number): number[] {
  return Array.from({ length: n[0] + 1 }, (_, count) => count).filter((count) => {
    const [p, q] = [count / n[0], other / n[1]];
    const spread = Math.sqrt((p * (1 - p) + q * (1 - q)) / 2);
    return spread > 0 && roundTo((p - q) / spread, 1) === printed;
  });
}

const column = (n: readonly [number, number], few: number, other: number) => ({
  treated: Uint8Array.from({ length: n[0] + n[1] }, (_, i) => i < n[0] ? 1 : 0),
  values: Float64Array.from(
    { length: n[0] + n[1] },
    (_, i) => (i < n[0] ? i < few : i - n[0] < other) ? 1 : 0,
  ),
});

Deno.test("tellingOf(): a difference that is told to a tenth leaves at least five numbers of few possible", () => {
  const size = fc.integer({ min: 30, max: 900 });
  let told = 0;
  fc.assert(
    fc.property(
      size,
      size,
      fc.integer({ min: 1, max: 10 }),
      fc.double({ min: 0.1, max: 0.9, noNaN: true }),
      (a, b, few, share) => {
        const other = Math.max(11, Math.min(b - 11, Math.round(share * b)));
        fc.pre(other > 0 && b >= 30);
        const { treated, values } = column([a, b], few, other);
        const study = { smallestCell: 11 };
        const among = new Uint8Array(a + b).fill(1);
        const telling = tellingOf({ treated, study } as never, among, values, undefined);
        assert.equal(telling.coarse, true);
        const difference = standardizedDifference({ treated, covariate: values });
        const possible = possibleCounts([a, b], other, roundTo(difference, 1));
        assert.ok(possible.includes(few));
        assert.equal(telling.untold, possible.length < 5, `${a} ${b} ${few} ${other}: ${possible}`);
        if (!telling.untold) told++;
      },
    ),
    { numRuns: 300, seed: 14 },
  );
  assert.ok(told > 30, `${told}`);
});

Deno.test("tellingOf() has nothing to hide where nobody is few, and counts the matched apart", () => {
  const { treated, values } = column([50, 50], 20, 25);
  const among = new Uint8Array(100).fill(1);
  const study = { smallestCell: 11 };
  const of = (matched?: Float64Array) =>
    tellingOf({ treated, study } as never, among, values, matched);
  assert.deepEqual(of(), { coarse: false, untold: false });
  // all but 4 of the 20 are matched: 16 of 46 against 25 of 46 is -0.40, 15 would be -0.44, 17
  // -0.35
  const matched = Float64Array.from(treated, (_, i) => i < 4 || i >= 96 ? 0 : 1);
  assert.deepEqual(of(matched), { coarse: true, untold: true });
});
