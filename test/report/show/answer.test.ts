import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { frequencies } from "../../../lib/report/show/finding-words.ts";
import {
  findingSentence,
  headlineFindings,
  verdictOf,
  verdictSentence,
} from "../../../lib/report/show/mod.ts";
import { formatNumber } from "../../../lib/words/mod.ts";
import type { FindingInput } from "../../../lib/report/items/mod.ts";
import { finding, note } from "../../../lib/report/show/finding.ts";

function example(
  [first, second]: readonly [number, number],
  [lower, upper]: readonly [number, number],
  more: Partial<FindingInput> = {},
) {
  return finding({
    id: "example",
    endpoint: "death",
    quantity: "alive",
    horizon: 5,
    design: "matched",
    estimand: "matched sample",
    groups: [
      { label: "Repair", estimate: first, lower: first, upper: first, n: 400 },
      { label: "Replacement", estimate: second, lower: second, upper: second, n: 400 },
    ],
    difference: { estimate: first - second, lower, upper },
    tableId: "example-table",
    ...more,
  });
}

Deno.test("findingSentence() speaks in natural frequencies, of the patients it is about", () => {
  // by hand
  assert.equal(
    findingSentence(example([0.71, 0.69], [-0.04, 0.08])),
    "Of 100 matched patients, about 71 were alive 5 years after repair and about 69 after " +
      "replacement. Plausible range of the difference: 4 fewer to 8 more per 100 after repair.",
  );
  assert.equal(
    findingSentence(
      example([0.07, 0.22], [-0.21, -0.09], {
        endpoint: "recurrence",
        quantity: "recurrence",
        horizon: 1,
        design: "weighted",
        estimand: "overlap",
      }),
    ),
    "Of 100 patients who could have had either operation, about 7 had recurrent regurgitation " +
      "within 1 year after repair and about 22 after replacement. Plausible range of the " +
      "difference: 9 to 21 fewer per 100 after repair.",
  );
});

Deno.test("findingSentence() has whole people of 100, or of 1,000 where few have the event", () => {
  // by hand: decimals live in the table
  assert.match(
    findingSentence(example([0.847, 0.815], [-0.025, 0.089])),
    /about 85 were .* about 82 after .*: 3 fewer to 9 more per 100/,
  );
  const rare = { endpoint: "reoperation", quantity: "reoperation" } as const;
  assert.match(
    findingSentence(example([0.012, 0.004], [-0.003, 0.019], rare)),
    /^Of 1,000 .* about 12 were reoperated on .* about 4 after .*: 3 fewer to 19 more per 1,000/,
  );
});

Deno.test("findingSentence() does not print a limit on one side of zero as zero", () => {
  // by hand
  assert.match(findingSentence(example([0.71, 0.69], [0.003, 0.037])), /less than 1 to 4 more/);
  assert.match(findingSentence(example([0.705, 0.703], [0.001, 0.003])), /: 0.1 to 0.3 more per/);
  assert.match(findingSentence(example([0.69, 0.71], [-0.037, -0.003])), /less than 1 to 4 fewer/);
});

Deno.test("verdictOf() claims a better group only where the interval leaves zero", () => {
  // by hand, one line a case: the side, whether more is good, and the margin of 5 per 100
  assert.equal(verdictOf(example([0.8, 0.7], [0.02, 0.18])), "first");
  assert.equal(verdictOf(example([0.7, 0.8], [-0.18, -0.02])), "second");
  const bad = { endpoint: "recurrence", quantity: "recurrence" } as const;
  assert.equal(verdictOf(example([0.3, 0.2], [0.02, 0.18], bad)), "second");
  assert.equal(verdictOf(example([0.2, 0.3], [-0.18, -0.02], bad)), "first");
  assert.equal(verdictOf(example([0.71, 0.7], [-0.03, 0.05])), "alike");
  assert.equal(verdictOf(example([0.71, 0.7], [-0.03, 0.0501])), "uncertain");
  assert.equal(verdictOf(example([0.8, 0.7], [0, 0.2])), "uncertain");
});

Deno.test("verdictOf() follows the more doubtful of interval and p value", () => {
  // by hand
  const difference = { estimate: 0.1, lower: 0.002, upper: 0.198, pValue: 0.06 };
  const doubtful = example([0.8, 0.7], [0.002, 0.198], {
    difference: { ...difference, estimate: 0.8 - 0.7 },
  });
  assert.equal(verdictOf(doubtful), "uncertain");
});

Deno.test("the rules never claim more than the interval over a grid of estimates", () => {
  // identity: what each sentence says is read back and held against the numbers it came from
  const widths = [0.001, 0.01, 0.04, 0.09, 0.2];
  let checked = 0;
  for (let first = 0.05; first <= 0.951; first += 0.075) {
    for (let second = 0.05; second <= 0.951; second += 0.0625) {
      for (const width of widths) {
        const difference = first - second;
        const lower = Math.max(-1, difference - width);
        const upper = Math.min(1, difference + width);
        for (const quantity of ["alive", "recurrence"] as const) {
          const endpoint = quantity === "alive" ? "death" : "recurrence";
          const item = example([first, second], [lower, upper], { quantity, endpoint });
          const text = verdictSentence(item);
          const names = / after (\w+) than after (\w+)\./.exec(text);
          if (names) {
            assert.ok(lower > 0 || upper < 0, `${text} for ${lower} to ${upper}`);
            const better = (difference > 0) === (quantity === "alive") ? "repair" : "replacement";
            assert.equal(names[1], better);
          } else {
            assert.ok(lower <= 0 && upper >= 0, `${text} for ${lower} to ${upper}`);
            const most = /at most (\d+) per 100/.exec(text);
            if (most) assert.ok(Number(most[1]) >= Math.max(-lower, upper) * 100 - 1e-6);
            else assert.match(text, /not settled/);
          }
          checkNumbers(item);
          checked++;
        }
      }
    }
  }
  assert.ok(checked > 1000);
});

Deno.test("no sentence claims that a p value, a margin or a design forbids", () => {
  // identity, over every quantity, design and margin: what is said is held against what is known
  const quantities = [
    ["death", "alive"],
    ["death", "died"],
    ["recurrence", "recurrence"],
    ["recurrence", "alive without recurrence"],
    ["reoperation", "reoperation"],
  ] as const;
  let clear = 0;
  for (const [endpoint, quantity] of quantities) {
    for (const design of ["matched", "weighted", "unadjusted"] as const) {
      for (const margin of [0.01, 0.05, 0.2]) {
        for (const estimate of [-0.3, -0.04, -0.004, 0, 0.004, 0.04, 0.3]) {
          for (const half of [0.002, 0.03, 0.1, 0.4]) {
            for (const pValue of [undefined, 0.001, 0.049, 0.05, 0.6]) {
              const first = 0.5 + estimate / 2;
              const second = 0.5 - estimate / 2;
              const item = example([first, second], [estimate - half, estimate + half], {
                endpoint,
                quantity,
                design,
                smallestThatMatters: margin,
                difference: {
                  estimate: first - second,
                  lower: estimate - half,
                  upper: estimate + half,
                  ...(pValue !== undefined && { pValue }),
                },
              });
              const text = verdictSentence(item);
              const leavesZero = estimate - half > 0 || estimate + half < 0;
              const small = Math.abs(estimate) + half <= margin + 1e-12;
              const named = / after \w+ than after \w+/.test(text);
              assert.equal(named, leavesZero && (pValue === undefined || pValue < 0.05), text);
              if (!named) assert.equal(/no clear difference/.test(text), small, text);
              if (named) {
                clear++;
                assert.equal(/does not compare the operations/.test(text), design === "unadjusted");
              }
              assert.doesNotMatch(
                text,
                /equal|equivalent|no difference between|proves|because|should/,
              );
              checkNumbers(item);
            }
          }
        }
      }
    }
  }
  assert.ok(clear > 100);
});

Deno.test("an unadjusted difference is never put as a comparison of the operations", () => {
  // by hand
  const text = verdictSentence(example([0.8, 0.7], [0.05, 0.15], { design: "unadjusted" }));
  assert.match(text, /not alike to begin with, so this does not compare the operations/);
});

Deno.test("verdictSentence() says what the data fit where they settle nothing", () => {
  // by hand, with a margin of 5 per 100
  assert.equal(
    verdictSentence(example([0.847, 0.815], [-0.025, 0.089])),
    "Survival: not settled. These data fit anything from 3 fewer to 9 more alive per 100 " +
      "after repair.",
  );
  assert.match(
    verdictSentence(example([0.71, 0.69], [-0.07, 0.11])),
    /from 7 fewer to 11 more alive per 100 after repair/,
  );
  const difference = { estimate: 0.8 - 0.7, lower: 0.002, upper: 0.198, pValue: 0.06 };
  assert.match(
    verdictSentence(example([0.8, 0.7], [0, 0], { difference })),
    /range and the test do not agree/,
  );
});

Deno.test("frequencies() prints each number as tables and figures round it", () => {
  // identity
  fc.assert(fc.property(
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.double({ min: 0, max: 0.3, noNaN: true }),
    (first, second, half) => {
      const difference = first - second;
      checkNumbers(
        example([first, second], [
          Math.max(-1, difference - half),
          Math.min(1, difference + half),
        ]),
      );
    },
  ));
});

Deno.test("headlineFindings() takes one an endpoint, in the design of the plan's estimand", () => {
  // by hand
  const crude = example([0.8, 0.7], [0, 0.2], { id: "crude", design: "unadjusted" });
  const matched = example([0.8, 0.7], [0, 0.2], { id: "matched" });
  const other = example([0.8, 0.7], [0, 0.2], { id: "other", endpoint: "reoperation" });
  const chosen = (...items: FindingInput[]) =>
    headlineFindings(items.map((item) => finding(item)), "overlap").map(({ id }) => id);
  assert.deepEqual(chosen(other, crude, matched), ["matched", "other"]);
  assert.deepEqual(chosen(matched, { ...crude, headline: true }), ["crude"]);
  const weighted = { ...matched, id: "weighted", design: "weighted", estimand: "overlap" } as const;
  assert.deepEqual(chosen(matched, weighted), ["weighted"]);
  const marked = [matched, { ...weighted, estimand: "everyone" as const }, weighted]
    .map((item) => ({ ...item, headline: true }));
  assert.deepEqual(chosen(...marked, other), ["weighted"]);
  // planned before exploratory, where neither is of the plan's population
  const later = { ...finding(matched), id: "later", status: "exploratory" as const };
  const asked = { ...finding(matched), status: "planned" as const };
  assert.deepEqual(headlineFindings([later, asked], "everyone").map(({ id }) => id), ["matched"]);
});

Deno.test("finding() refuses numbers that contradict each other", () => {
  const good = example([0.71, 0.69], [-0.04, 0.08]);
  assert.throws(() => finding({ ...good, difference: { estimate: 0.1, lower: 0, upper: 0.2 } }), {
    name: "DataError",
    message: /first group's estimate minus the second's/,
  });
  assert.throws(() => example([1.2, 0.7], [0, 0.9]), DataError);
  assert.throws(() => example([0.8, NaN], [0, 0.9]), DataError);
  assert.throws(() => example([0.8, 0.7], [0.2, 0.3]), DataError);
  assert.throws(() => finding({ ...good, id: "Not an id" }), DataError);
  assert.throws(() => note({ id: "empty", about: "caution", text: " " }), DataError);
});

function checkNumbers(item: ReturnType<typeof example>): void {
  const { of, a, b, range } = frequencies(item);
  const scale = Number(of.replace(",", ""));
  const { lower, upper } = item.difference;
  // a decimal only of 100, and only where whole people would not tell the limits apart
  const digits = /[.]/.test(a) ? 1 : 0;
  if (digits === 1) {
    assert.equal(scale, 100);
    assert.ok(upper - lower <= 0.01, range);
  }
  assert.equal(a, formatNumber(item.groups[0].estimate * scale, { digits }));
  assert.equal(b, formatNumber(item.groups[1].estimate * scale, { digits }));
  if (digits === 0) assert.doesNotMatch(b + range, /[.]/);
  // no limit loses its side, and none is off by more than rounding
  if (lower > 0) assert.match(range, / more$/);
  if (upper < 0) assert.match(range, / fewer$/);
  if (lower > 0 || upper < 0) assert.doesNotMatch(range, /(^| )0( |$)/);
  const numbers = [...range.matchAll(/\d+(?:\.\d+)?/g)].map(([text]) => Number(text)).sort((x, y) =>
    x - y
  );
  const exact = [lower, upper].map((limit) => Math.abs(limit) * scale).sort((x, y) => x - y);
  if (numbers.length === 2) {
    numbers.forEach((number, k) => assert.ok(Math.abs(number - exact[k]!) <= 1, range));
  }
}
