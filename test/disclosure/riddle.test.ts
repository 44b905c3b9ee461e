import assert from "node:assert/strict";
import fc from "fast-check";
import {
  type Clue,
  cluesAbout,
  learnCounts,
  type PrintedClues,
} from "../../lib/disclosure/solver/mod.ts";
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

Deno.test("cluesAbout() keeps what learnCounts() needs to say the same of a count", () => {
  const many = [..."abcdefghij"];
  const some = fc.record({
    // as tables are: some counts as they are, some sums of few
    parts: fc.uniqueArray(fc.constantFrom(...many), { minLength: 1, maxLength: 3 }),
    slack: fc.constantFrom(0, 0, 0, 2),
    wrong: fc.constantFrom(0, 0, 0, 0, 0, 1),
  });
  const truth = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 10, maxLength: 10 });
  let fewer = 0;
  fc.assert(
    fc.property(
      truth,
      fc.array(some, { minLength: 4, maxLength: 14 }),
      fc.array(some, { maxLength: 3 }),
      fc.array(fc.boolean(), { minLength: 17, maxLength: 17 }),
      fc.constantFrom(...many),
      (counts, printed, relations, stays, count) => {
        const clueOf = ({ parts, slack, wrong }: typeof printed[number], k: number): Clue => {
          const sum = parts.reduce((all, name) => all + counts[many.indexOf(name)]!, 0) + wrong;
          const each = parts.map((name) => ({ count: name, times: 1 }));
          return { parts: each, low: sum - slack, high: sum, from: `${k}` };
        };
        const clues = printed.map(clueOf);
        const supposed = relations.map(clueOf);
        const about = cluesAbout({ clues, supposed }, 20);
        const told = {
          clues: clues.filter((_, k) => stays[k]),
          supposed: supposed.filter((_, k) => stays[14 + k]),
        };
        const near = about(count, told);
        const learn = (from: PrintedClues) =>
          learnCounts(from.clues, {
            supposed: from.supposed,
            protect: [count],
            smallestCell: 5,
            most: 20,
            patience: 8,
          }).counts;
        if (near.clues.length < told.clues.length) fewer++;
        assert.deepEqual(learn(near), learn(told));
      },
    ),
    { numRuns: 1000 },
  );
  assert.ok(fewer > 100, `only ${fewer} times fewer clues`);
});
