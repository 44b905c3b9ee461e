import assert from "node:assert/strict";
import fc from "fast-check";
import type { Clue } from "../../lib/disclosure/solver/mod.ts";
import { addWhatFits, anything, narrow, riddleOf } from "../../lib/disclosure/solver/riddle.ts";

const names = ["a", "b", "c", "d", "e"];
const part = fc.record({ count: fc.constantFrom(...names), times: fc.constantFrom(-1, 1, 1, 2) });
const clue: fc.Arbitrary<Clue> = fc.record({
  parts: fc.array(part, { minLength: 0, maxLength: 3 }),
  low: fc.integer({ min: -3, max: 12 }),
  width: fc.integer({ min: 0, max: 6 }),
}).map(({ parts, low, width }) => ({ parts, low, high: low + width, from: "drawn" }));

Deno.test("addWhatFits() knows what beginning anew with every clue that fits would", () => {
  fc.assert(
    fc.property(
      fc.array(clue, { maxLength: 4 }),
      fc.array(clue, { maxLength: 6 }),
      (told, more) => {
        const known = (clues: Clue[]) => {
          const riddle = riddleOf(clues, names);
          const ranges = anything(riddle, 20);
          return narrow(riddle, ranges) ? { riddle, ranges } : undefined;
        };
        const begun = known(told);
        fc.pre(begun !== undefined);
        const { ranges, unfit } = addWhatFits(begun!.riddle, begun!.ranges, more);
        // one after the other, each from the beginning
        const kept = [...told];
        const left: Clue[] = [];
        for (const one of more) (known([...kept, one]) ? kept : left).push(one);
        assert.deepEqual(unfit, left);
        assert.deepEqual(ranges, known(kept)!.ranges);
        assert.deepEqual(begun!.riddle, riddleOf(kept, names));
      },
    ),
    { numRuns: 500 },
  );
});
