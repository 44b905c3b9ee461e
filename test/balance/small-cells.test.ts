import assert from "node:assert/strict";
import fc from "fast-check";
import { publishableLevels } from "../../lib/balance/tables/publishable-levels.ts";
import { feasibleInterval } from "../../lib/disclosure/intervals.ts";

Deno.test("publishableLevels() hides what would give a small count away in any table (by hand)", () => {
  // levels none, some, missing of everybody alone: 5 hides the least of the others, but not missing
  assert.deepEqual(publishableLevels({ whole: [5, 40, 20] }, 11).whole, [false, false, true]);
  assert.deepEqual(publishableLevels({ whole: [0, 40, 20] }, 11).whole, [true, true, true]);
  // 58 of everybody and 49 matched would tell that 9 were not matched
  assert.deepEqual(publishableLevels({ whole: [400, 58, 0], matched: [194, 49, 0] }, 11), {
    whole: [true, true, true],
    matched: [false, false, true],
    unmatched: [false, false, true],
  });
  // each table alone hid two of its three levels, and the two differed: 5 followed from the rest
  const three = publishableLevels({ whole: [334, 64, 149], matched: [234, 59, 81] }, 11);
  assert.deepEqual(three.matched, three.unmatched);
  // few not matched: nothing is said of them nor of what they would follow from
  const few = publishableLevels({ whole: [60, 40, 0], matched: [57, 38, 0] }, 11);
  assert.deepEqual(few.unmatched, [false, false, true]);
  assert.deepEqual(few.matched, [false, false, true]);
  assert.deepEqual(few.whole, [true, true, true]);
});

Deno.test("publishableLevels() leaves no small count to be worked out", () => {
  const level = fc.tuple(fc.nat({ max: 40 }), fc.nat({ max: 40 }));
  fc.assert(
    fc.property(fc.array(level, { minLength: 2, maxLength: 6 }), (levels) => {
      const matched = levels.map(([inside]) => inside);
      const unmatched = levels.map(([, outside]) => outside);
      const whole = levels.map(([inside, outside]) => inside + outside);
      const shown = publishableLevels({ whole, matched }, 11);
      const rows = [matched, unmatched, whole];
      const seen = [shown.matched, shown.unmatched, shown.whole];
      const total = (row: number[]) => row.reduce((sum, count) => sum + count, 0);
      const table = rows.map((row) => [...row, total(row)]);
      // an empty row adds nothing to the other, whose counts are then those of the whole
      const hidden = seen.map((row) => [...row.map((is) => !is), false]);
      rows.forEach((row, i) =>
        row.forEach((count, j) => {
          if (count === 0 || count >= 11) return;
          assert.equal(seen[i]![j], false);
          if (total(row) < 11) return;
          const { low, high } = feasibleInterval(table, hidden, [i, j]);
          assert.ok(low <= 1 && high >= 11, `${low} to ${high}`);
        })
      );
    }),
    { numRuns: 300, seed: 8 },
  );
});
