import assert from "node:assert/strict";
import fc from "fast-check";
import {
  countInWords,
  isSmall,
  publishableKinds,
  publishableNested,
  publishablePart,
  publishedShare,
} from "../../lib/disclosure/small-counts.ts";
import { publishableCuts } from "../../lib/disclosure/ordered-cuts.ts";

const counts = fc.nat({ max: 60 });
const cells = fc.integer({ min: 2, max: 12 });

/** The counts that a reader who knows the rule must think possible, of 0 to `most`. */
function possible(say: (count: number) => unknown, heard: unknown, most: number): number[] {
  return Array.from({ length: most + 1 }, (_, count) => count)
    .filter((count) => JSON.stringify(say(count)) === JSON.stringify(heard));
}

Deno.test("publishablePart() bounds a part that would leave few (by hand)", () => {
  assert.equal(publishablePart(370, 374, 11), "> 363");
  assert.equal(publishablePart(362, 374, 11), 362);
  assert.equal(publishablePart(374, 374, 11), 374);
  assert.equal(publishablePart(4, 374, 11), "< 11");
  assert.equal(publishablePart(0, 374, 11), 0);
  // of 12, 11 and 1 as well as 3 and 9 would be known from the other's bound
  assert.deepEqual([11, 3, 12, 0].map((part) => publishablePart(part, 12, 11)), [
    "< 12",
    "< 12",
    12,
    0,
  ]);
  // two published numbers are near: the bound is from the lesser, so that neither difference is
  // less open
  assert.equal(publishablePart(277, [282, 278], 11), "> 267");
});

Deno.test("publishablePart() leaves part and rest as open as their being small", () => {
  fc.assert(
    fc.property(counts, counts, cells, (part, rest, smallestCell) => {
      const whole = part + rest;
      if (isSmall(whole, smallestCell)) return;
      const heard = publishablePart(part, whole, smallestCell);
      const say = (count: number) => publishablePart(count, whole, smallestCell);
      const parts = possible(say, heard, whole);
      const rests = parts.map((count) => whole - count);
      for (const [count, open] of [[part, parts], [rest, rests]] as const) {
        if (!isSmall(count, smallestCell)) continue;
        assert.equal(typeof heard, "string");
        assert.ok(open.length >= smallestCell - 1);
        const small = Array.from({ length: smallestCell - 1 }, (_, k) => k + 1);
        assert.ok(small.every((k) => open.includes(k)));
      }
    }),
    { seed: 1 },
  );
});

Deno.test("publishableNested() publishes no two numbers with a small difference", () => {
  fc.assert(
    fc.property(fc.array(counts, { minLength: 1, maxLength: 5 }), cells, (falls, smallestCell) => {
      const chain = falls.toSorted((a, b) => b - a);
      const shown = publishableNested(chain, smallestCell).filter((one) => typeof one === "number");
      for (const a of shown) {
        assert.ok(!isSmall(a, smallestCell));
        for (const b of shown) assert.ok(!isSmall(a - b, smallestCell), `${a} and ${b}`);
      }
    }),
    { seed: 2 },
  );
});

Deno.test("publishableKinds() leaves no small remainder of the whole (by hand)", () => {
  const of = (kinds: number[], whole: number) =>
    publishableKinds(kinds, { whole, smallestCell: 11 });
  // 51 in all, 42 of one kind: the others would be 9
  assert.deepEqual(of([42, 5, 4], 51), ["> 40", "< 11", "< 11"]);
  // of the 21 that are not the first 30, neither 15 nor what is left
  assert.deepEqual(of([30, 15, 5], 51), [30, "< 21", "< 11"]);
  assert.deepEqual(of([30, 5], 51), [30, "< 11"]);
  assert.deepEqual(of([51, 0], 51), [51, 0]);
  assert.deepEqual(of([3, 2], 5), ["< 11", "< 11"]);
  // of 12, "> 1" would say that it is 11
  assert.deepEqual(of([11], 12), ["< 12"]);
});

Deno.test("publishableKinds() shows no counts that the whole turns into a small one", () => {
  fc.assert(
    fc.property(
      fc.array(counts, { minLength: 1, maxLength: 5 }),
      counts,
      cells,
      (kinds, others, smallestCell) => {
        const whole = kinds.reduce((sum, count) => sum + count, others);
        const shown = publishableKinds(kinds, { whole, smallestCell });
        const told = shown.reduce<number>(
          (sum, one) => sum + (typeof one === "number" ? one : 0),
          0,
        );
        if (!isSmall(whole, smallestCell)) assert.ok(!isSmall(whole - told, smallestCell));
        shown.forEach((one, k) => {
          if (typeof one === "number") assert.ok(one === kinds[k] && !isSmall(one, smallestCell));
          else if (one.startsWith(">")) assert.ok(kinds[k]! > Number(one.slice(2)));
          else assert.ok(kinds[k]! < Number(one.slice(2)));
        });
      },
    ),
    { seed: 3 },
  );
});

Deno.test("countInWords() reads as a sentence needs it (by hand)", () => {
  const words = (count: number, of?: number) => countInWords(count, { smallestCell: 11, of });
  assert.equal(words(1012), "1,012");
  assert.equal(words(4), "fewer than 11");
  assert.equal(words(370, 374), "more than 363");
});

Deno.test("publishedShare() keeps a tenth of one in 100 (by hand)", () => {
  assert.equal(publishedShare(24 / 1036), 0.023);
  assert.equal(publishedShare(0.1835, { per: 100 }), 18.4);
  assert.equal(publishedShare(-0.00049), 0);
});

// By hand: cuts are tried from the least up; the third would leave 4 by themselves.
Deno.test("publishableCuts() tries every cut from the least up, unless told otherwise", () => {
  assert.deepEqual(publishableCuts([60, 20, 4, 16], { smallestCell: 11 }), [1, 2]);
  assert.deepEqual(publishableCuts([5, 20, 40], { smallestCell: 11 }), [2]);
  assert.deepEqual(publishableCuts([60], { smallestCell: 11 }), []);
});
