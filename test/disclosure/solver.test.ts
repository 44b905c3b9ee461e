import assert from "node:assert/strict";
import fc from "fast-check";
import {
  type Clue,
  countIs,
  fewestValues,
  learnCounts,
  printedCount,
  printedShare,
  restOf,
  shareOf,
  sumOf,
} from "../../lib/disclosure/solver/mod.ts";

const exactly = (count: string, value: number): Clue =>
  countIs(count, { low: value, high: value }, count);
const learn = (clues: Clue[], protect: string[], smallestCell = 11) =>
  learnCounts(clues, { protect, smallestCell, most: 2000 }).counts;

Deno.test("printedCount() reads counts as they are printed", () => {
  // by hand
  const read = (value: unknown) => printedCount(value)?.count;
  assert.deepEqual(read(12), { low: 12, high: 12 });
  assert.deepEqual(read("1,036"), { low: 1036, high: 1036 });
  assert.deepEqual(read("< 11"), { low: 1, high: 10 });
  assert.deepEqual(read("> 1,363"), { low: 1364, high: Infinity });
  assert.deepEqual(read("–"), { low: 0, high: Infinity });
  assert.deepEqual(read(null), { low: 0, high: Infinity });
  const { share } = printedCount("20 (36%)") ?? {};
  assert.ok(Math.abs(share!.low - 0.355) < 1e-12 && Math.abs(share!.high - 0.365) < 1e-12);
  for (const other of ["31.7 (3.2)", "2 [1 to 3]", "repair", 0.5, -3, "50 (1)"]) {
    assert.equal(printedCount(other), undefined, String(other));
  }
});

Deno.test("learnCounts() finds exactly the values that whole numbers allow, on 400 random riddles", () => {
  // identity: against trying every combination
  const names = ["a", "b", "c", "d"];
  const clue = fc.record({
    times: fc.array(fc.integer({ min: -2, max: 2 }), { minLength: 4, maxLength: 4 }),
    at: fc.array(fc.integer({ min: 0, max: 5 }), { minLength: 4, maxLength: 4 }),
    slack: fc.integer({ min: 0, max: 2 }),
  });
  fc.assert(
    fc.property(fc.array(clue, { minLength: 1, maxLength: 4 }), (given) => {
      // every clue is true of one and the same set of counts, the first one's
      const truth = given[0]!.at;
      const clues = given.map(({ times, slack }, k): Clue => {
        const sum = times.reduce((all, one, i) => all + one * truth[i]!, 0);
        const parts = names.map((count, i) => ({ count, times: times[i]! }));
        return { parts, low: sum - slack, high: sum, from: `${k}` };
      });
      const every = Array.from(
        { length: 6 ** 4 },
        (_, k) => [k % 6, Math.floor(k / 6) % 6, Math.floor(k / 36) % 6, Math.floor(k / 216)],
      );
      const fitting = every.filter((counts) =>
        clues.every(({ parts, low, high }) => {
          const sum = parts.reduce((all, { times }, i) => all + times * counts[i]!, 0);
          return sum >= low && sum <= high;
        })
      );
      const { counts } = learnCounts(clues, {
        protect: names,
        smallestCell: 100,
        most: 5,
        patience: 1e5,
      });
      for (const { count, possible, decided } of counts) {
        const i = names.indexOf(count);
        assert.ok(decided);
        const expected = [...new Set(fitting.map((one) => one[i]!))].sort((a, b) => a - b);
        assert.deepEqual(possible, expected);
      }
    }),
    { seed: 3, numRuns: 400 },
  );
});

Deno.test("learnCounts() calls pinned what keeps too few values, and neither 0 nor what is large", () => {
  assert.equal(fewestValues(11), 5);
  assert.equal(fewestValues(5), 2);
  const clues = (rest: number) => [
    exactly("all", 60),
    exactly("told", 60 - rest),
    restOf("rest", { whole: "all", parts: ["told"] }, "t"),
  ];
  assert.deepEqual(learn(clues(3), ["rest"])[0]?.pinned, true);
  assert.deepEqual(learn(clues(0), ["rest"])[0]?.pinned, false);
  assert.deepEqual(learn(clues(11), ["rest"])[0]?.pinned, false);
  // two hidden parts of 12: either can be 1 to 10 as far as the other lets it
  const two = [
    exactly("all", 12),
    countIs("a", { low: 1, high: 10 }, "a"),
    countIs("b", { low: 1, high: 10 }, "b"),
    sumOf("all", ["a", "b"], "t"),
  ];
  assert.ok(learn(two, ["a", "b"]).every(({ pinned }) => !pinned));
});

Deno.test("learnCounts() adds up shares of kinds to what two tables apart hide", () => {
  // by hand: 945, 378, 150 and 134 patients; 699, 163, 72 and 50 repaired are 984, 980 of one group
  const kinds = [[945, 0.74], [378, 0.431], [150, 0.48], [134, 0.373]] as const;
  const clues = (decimals: number) => [
    exactly("first group", 980),
    countIs("second group", { low: 1, high: 10 }, "t"),
    sumOf("repaired", ["first group", "second group"], "t"),
    sumOf("repaired", kinds.map((_, k) => `kind ${k}`), "t"),
    ...kinds.flatMap(([n, share], k) => [
      exactly(`n ${k}`, n),
      ...shareOf(`kind ${k}`, {
        whole: `n ${k}`,
        share: printedShare(Number(share.toFixed(decimals + 2)), decimals),
      }, "t"),
    ]),
  ];
  const [exact] = learn(clues(1), ["second group"]);
  assert.deepEqual(exact?.possible, [4]);
  assert.ok(exact?.pinned);
  // in whole per cent it is one of five at the least
  assert.equal(learn(clues(0), ["second group"])[0]?.pinned, false);
});

Deno.test("learnCounts() drops a supposed relation that what is printed contradicts, and no other", () => {
  const clues = [exactly("a", 20), exactly("b", 30), exactly("all", 53)];
  const { counts, contradicted } = learnCounts(clues, {
    protect: ["c"],
    smallestCell: 11,
    most: 100,
    supposed: [sumOf("all", ["a", "b"], "false"), sumOf("all", ["a", "b", "c"], "true")],
  });
  assert.deepEqual(contradicted, ["false"]);
  assert.deepEqual(counts[0]?.possible, [3]);
  // of two that are printed the later is left out
  const other = [...clues, sumOf("all", ["a", "b"], "table x"), exactly("d", 4)];
  const found = learnCounts(other, { protect: ["d"], smallestCell: 11, most: 100 });
  assert.deepEqual(found.contradicted, ["table x"]);
  assert.ok(found.counts[0]?.pinned);
});

Deno.test("learnCounts() calls a single patient small, and nobody not", () => {
  // by hand: 12 less 11 leaves one, 12 less 12 leaves none
  const of = (rest: number) =>
    learn([
      exactly("all", 12),
      exactly("others", 12 - rest),
      restOf("few", { whole: "all", parts: ["others"] }, ""),
    ], [
      "few",
    ]);
  assert.deepEqual(of(1).map(({ possible, pinned }) => ({ possible, pinned })), [
    { possible: [1], pinned: true },
  ]);
  assert.deepEqual(of(0).map(({ pinned }) => pinned), [false]);
});
