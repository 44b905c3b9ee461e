import { deepEqual, equal, ok } from "node:assert/strict";
import fc from "fast-check";
import { pairInWords, rangeDigits, rangeInWords, roundTo } from "../../lib/words/mod.ts";

const share = fc.double({ min: 0, max: 100, noNaN: true });
const reach = fc.double({ min: 0.01, max: 60, noNaN: true });
const compared = fc.tuple(share, share, reach, reach).map(([first, second, below, above]) => ({
  first,
  second,
  lower: first - second - below,
  upper: first - second + above,
}));

Deno.test("pairInWords() prints the difference of the numbers that it prints", () => {
  // each rounded by itself this reads "10 / 5, 6 more"
  deepEqual(pairInWords({ first: 10.4, second: 4.8, lower: 2.1, upper: 9.3 }), {
    first: "10",
    second: "5",
    change: "5 more",
    range: "2 to 9 more",
  });
  fc.assert(fc.property(compared, (numbers) => {
    const { first, second, change } = pairInWords(numbers);
    const printed = Number(first) - Number(second);
    const [, size, side] = /^([\d.]+) (more|fewer)$/.exec(change) ?? [];
    if (size === undefined) {
      equal(printed, 0);
      ok(/^(difference 0|less than (1|0\.1) (more|fewer))$/.test(change), change);
    } else {
      equal(Math.abs(printed).toFixed(1), Number(size).toFixed(1));
      equal(side, printed > 0 ? "more" : "fewer");
    }
  }));
});

Deno.test("pairInWords() prints a difference within its limits, with a decimal where it must", () => {
  const narrow = { first: 10.49, second: 5.51, lower: 4.6, upper: 5.3 };
  deepEqual(pairInWords(narrow), {
    first: "10.5",
    second: "5.5",
    change: "5.0 more",
    range: "4.6 to 5.3 more",
  });
  fc.assert(fc.property(compared, ({ first, second, ...limits }) => {
    const numbers = { first, second, lower: limits.lower - 0.1, upper: limits.upper + 0.1 };
    const { change, first: a, second: b } = pairInWords(numbers);
    const difference = Number(a) - Number(b);
    ok(difference >= numbers.lower - 0.5 && difference <= numbers.upper + 0.5, change);
    // a number is never printed further from itself than rounding takes it
    ok(Math.abs(Number(a) - first) <= 0.5 && Math.abs(Number(b) - second) <= 0.5);
  }));
});

Deno.test("pairInWords() does not say the same of what its limits settle", () => {
  equal(
    pairInWords({ first: 1.4, second: 0.6, lower: 0.2, upper: 1.4 }).change,
    "less than 1 more",
  );
  equal(pairInWords({ first: 1.4, second: 0.6, lower: -0.2, upper: 1.8 }).change, "difference 0");
});

Deno.test("rangeInWords() keeps the side of a limit that rounds to nothing", () => {
  equal(rangeInWords(0.1, 3.7), "less than 1 to 4 more");
  equal(rangeInWords(-9.2, -0.3), "less than 1 to 9 fewer");
  equal(rangeInWords(0.02, 0.04), "less than 0.1 more");
  equal(rangeInWords(-3.4, 9.1), "3 fewer to 9 more");
  equal(rangeInWords(0, 9.1), "0 to 9 more");
});

Deno.test("a range within one of zero prints both of its limits, to a decimal", () => {
  equal(rangeInWords(0.2, 0.7), "0.2 to 0.7 more");
  equal(rangeInWords(-0.4, -0.1), "0.1 to 0.4 fewer");
  equal(rangeInWords(0.03, 0.4), "less than 0.1 to 0.4 more");
  equal(rangeInWords(0.61, 0.64), "about 0.6 more");
  equal(rangeInWords(0, 0.7), "0 to 0.7 more");
  equal(rangeInWords(0.2, 1.4), "less than 1 to 1 more");
  // of 1,000 a whole one is as near as shares are told
  equal(rangeDigits(0.2, 0.7, 0), 0);
  const within = fc.tuple(
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.constantFrom(1, -1),
  );
  fc.assert(
    fc.property(within, ([a, b, side]) => {
      const [near, far] = [Math.min(a, b), Math.max(a, b)];
      const [lower, upper] = side > 0 ? [near, far] : [-far, -near];
      const numbers = { first: 50 + (lower + upper) / 2, second: 50, lower, upper };
      for (const range of [rangeInWords(lower, upper), pairInWords(numbers).range]) {
        ok(!/\b[1-9]\d*\b(?!\.)(?<!\.\d+)/.test(range), `${range}: a whole number`);
        const ends = [...range.matchAll(/(less than )?(\d+(?:\.\d)?)/g)]
          .sort(([, , one], [, , other]) => Number(one) - Number(other));
        // a limit that is left out is that of both, or the far one of "less than 0.1 more"
        [near, far].forEach((limit, k) => {
          const [, under, number] = ends[Math.min(k, ends.length - 1)]!;
          const printed = Number(number);
          ok(under ? limit < 0.05 + 1e-9 : Math.abs(printed - limit) <= 0.05 + 1e-9, range);
        });
        if (far >= 0.05 && near > 0) ok(range.endsWith(side > 0 ? " more" : " fewer"), range);
      }
    }),
    { numRuns: 2000 },
  );
});

/** The two ends of a printed range, each with its side; one where it reads "about". */
function endsOf(range: string): string[] {
  const ends = range.split(" to ");
  const side = / (more|fewer)$/.exec(range)?.[0] ?? "";
  return ends.map((end) => end === "0" || / (more|fewer)$/.test(end) ? end : end + side);
}

Deno.test("a printed range never has two equal ends", () => {
  equal(rangeInWords(14.8, 15.3), "14.8 to 15.3 more");
  equal(rangeInWords(-15.3, -14.8), "14.8 to 15.3 fewer");
  equal(rangeInWords(-0.4, 0.3), "0.4 fewer to 0.3 more");
  equal(rangeInWords(14.98, 15.02), "about 15 more");
  equal(rangeInWords(-15.31, -15.3), "about 15 fewer");
  equal(rangeInWords(0, 0), "about 0");
  const limit = fc.double({ min: -100, max: 100, noNaN: true });
  const narrow = fc.double({ min: 0, max: 1.5, noNaN: true });
  fc.assert(
    fc.property(limit, narrow, (lower, width) => {
      const upper = lower + width;
      const words = [
        rangeInWords(lower, upper),
        rangeInWords(lower, upper, { digits: rangeDigits(lower, upper, 0) }),
        pairInWords({ first: 50 + (lower + upper) / 2, second: 50, lower, upper }).range,
      ];
      for (const range of words) {
        const ends = endsOf(range);
        ok(new Set(ends).size === ends.length, range);
      }
      // "about" only where a decimal does not tell the limits apart
      const same = roundTo(lower, 1) === roundTo(upper, 1);
      ok(same || !words[0]!.startsWith("about"), words[0]!);
      ok(same || !words[2]!.startsWith("about"), words[2]!);
    }),
    { numRuns: 2000 },
  );
});
