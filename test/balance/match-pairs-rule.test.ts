import assert from "node:assert/strict";
import fc from "fast-check";
import { type MatchOptions, matchPairs, SeededRandom } from "mitral";
import { wholeSearch } from "../../lib/balance/match/mod.ts";
import { assertClose } from "../close.ts";
import { totalOf } from "./random-samples.ts";

// ---- properties against plain programs that look at every pair -------------------------------

interface Sample {
  treated: number[];
  score: number[];
  alike: string[];
}

// scores on a coarse grid, so that ties of every kind come up
const samples: fc.Arbitrary<Sample> = fc.array(
  fc.record({
    treated: fc.constantFrom(0, 1),
    score: fc.integer({ min: 0, max: 12 }).map((d) => d / 4),
    alike: fc.constantFrom("a", "b"),
  }),
  { minLength: 4, maxLength: 24 },
).filter((rows) => {
  const ones = rows.filter((row) => row.treated === 1).length;
  return ones >= 2 && rows.length - ones >= 2;
}).map((rows) => ({
  treated: rows.map((row) => row.treated),
  score: rows.map((row) => row.score),
  alike: rows.map((row) => row.alike),
}));

function allowed(sample: Sample, t: number, c: number, width: number): boolean {
  return sample.alike[t] === sample.alike[c] &&
    Math.abs(sample.score[t]! - sample.score[c]!) <= width;
}

/** The rule of greedy matching as one would say it. */
function slowGreedy(sample: Sample, width: number, options: Required<MatchOptions>) {
  const { treated, score } = sample;
  const gap = (t: number, c: number) => Math.abs(score[t]! - score[c]!);
  const rows = treated.map((_, i) => i);
  const controls = rows.filter((i) => treated[i] === 0);
  const sign = options.begin === "highest" ? -1 : options.begin === "lowest" ? 1 : 0;
  const turns = rows.filter((i) => treated[i] === 1)
    .sort((a, b) => sign * (score[a]! - score[b]!) || a - b);
  const pairs: [number, number][] = [];
  const taken = new Set<number>();
  for (let round = 0; round < options.partners; round++) {
    if (options.begin === "closest") {
      const served = new Set(pairs.map(([t]) => t));
      const now = new Set<number>();
      for (;;) {
        let best: [number, number] | undefined;
        for (const t of turns) {
          if (now.has(t) || (round > 0 && !served.has(t))) continue;
          for (const c of controls) {
            if (taken.has(c) || !allowed(sample, t, c, width)) continue;
            if (!best || gap(t, c) < gap(...best)) best = [t, c];
          }
        }
        if (!best) break;
        pairs.push(best);
        now.add(best[0]);
        taken.add(best[1]);
      }
      continue;
    }
    for (const t of turns) {
      const own = new Set(pairs.filter(([row]) => row === t).map(([, c]) => c));
      let best: number | undefined;
      for (const c of controls) {
        if (options.reuse ? own.has(c) : taken.has(c)) continue;
        if (!allowed(sample, t, c, width)) continue;
        if (best === undefined || gap(t, c) < gap(t, best)) best = c;
      }
      if (best === undefined) continue;
      pairs.push([t, best]);
      taken.add(best);
    }
  }
  return pairs;
}

Deno.test("matchPairs() one by one equals looking at every pair, whoever begins", () => {
  const options = fc.record({
    caliper: fc.constantFrom(0, 0.2, 1, Infinity),
    partners: fc.constantFrom(1, 2, 3),
    reuse: fc.boolean(),
    begin: fc.constantFrom("highest", "lowest", "as-listed", "closest"),
    search: fc.constant("one-by-one"),
  }) as fc.Arbitrary<Required<MatchOptions>>;
  fc.assert(
    fc.property(samples, options, (sample, chosen) => {
      if (chosen.begin === "closest") chosen = { ...chosen, reuse: false };
      const { pairs, caliperWidth, unmatchedTreated } = matchPairs(sample, chosen);
      assert.deepEqual(pairs, slowGreedy(sample, caliperWidth, chosen));
      const matched = new Set(pairs.map(([t]) => t));
      assert.deepEqual(
        unmatchedTreated,
        sample.treated.flatMap((one, i) => one === 1 && !matched.has(i) ? [i] : []),
      );
    }),
    { numRuns: 1500 },
  );
});

/** Most pairs, then smallest total, over every assignment; subsets of controls as bits. */
function bestAssignment(sample: Sample, width: number, partners: number): [number, number] {
  const rows = sample.treated.map((_, i) => i);
  const controls = rows.filter((i) => sample.treated[i] === 0);
  const lines = rows.filter((i) => sample.treated[i] === 1).flatMap((t) => Array(partners).fill(t));
  let best = new Map<number, [number, number]>([[0, [0, 0]]]);
  for (const t of lines) {
    const next = new Map(best);
    for (const [used, [count, total]] of best) {
      controls.forEach((c, bit) => {
        if (used & (1 << bit) || !allowed(sample, t, c, width)) return;
        const now: [number, number] = [
          count + 1,
          total + Math.abs(sample.score[t]! - sample.score[c]!),
        ];
        const old = next.get(used | (1 << bit));
        if (!old || now[0] > old[0] || (now[0] === old[0] && now[1] < old[1])) {
          next.set(used | (1 << bit), now);
        }
      });
    }
    best = next;
  }
  return [...best.values()].reduce((a, b) => b[0] > a[0] || (b[0] === a[0] && b[1] < a[1]) ? b : a);
}

Deno.test("matchPairs() searching the whole equals the best of all assignments", () => {
  const small = samples.filter(({ treated }) =>
    treated.length <= 13 && treated.filter((one) => one === 0).length <= 8
  );
  const caliper = fc.constantFrom(0, 0.2, 0.7, Infinity);
  fc.assert(
    fc.property(small, caliper, fc.constantFrom(1, 2), (sample, caliper, partners) => {
      const { pairs, caliperWidth } = matchPairs(sample, { caliper, partners, search: "whole" });
      const [count, total] = bestAssignment(sample, caliperWidth, partners);
      assert.equal(pairs.length, count);
      assertClose(totalOf(pairs, sample.score), total, { relative: 1e-12, absolute: 1e-12 });
      checkPairs(pairs, sample, caliperWidth, partners);
    }),
    { numRuns: 300 },
  );
});

function checkPairs(
  pairs: [number, number][],
  sample: Sample,
  width: number,
  partners: number,
): void {
  const uses = new Map<number, number>();
  for (const [t, c] of pairs) {
    assert.equal(sample.treated[t], 1);
    assert.equal(sample.treated[c], 0);
    assert.ok(allowed(sample, t, c, width), "caliper and strata");
    uses.set(t, (uses.get(t) ?? 0) + 1);
    assert.ok(!uses.has(c), "a control is used once");
    uses.set(c, 1);
  }
  for (const [t] of pairs) assert.ok(uses.get(t)! <= partners);
}

function randomSample(seed: number, n: number): Sample {
  const random = new SeededRandom(seed);
  const treated = Array.from({ length: n }, () => random.bernoulli(0.3));
  const score = treated.map((one) => random.normal() + 0.5 * one);
  return { treated, score, alike: treated.map(() => `s${random.integer(3)}`) };
}

Deno.test("matchPairs() searching the whole never totals more than one by one with as many pairs", () => {
  for (let seed = 1; seed <= 20; seed++) {
    const sample = randomSample(seed, 400);
    const optimal = matchPairs(sample, { search: "whole" });
    checkPairs(optimal.pairs, sample, optimal.caliperWidth, 1);
    for (const begin of ["highest", "lowest", "as-listed", "closest"] as const) {
      const greedy = matchPairs(sample, { begin });
      checkPairs(greedy.pairs, sample, greedy.caliperWidth, 1);
      assert.ok(optimal.pairs.length >= greedy.pairs.length);
      if (optimal.pairs.length === greedy.pairs.length) {
        const slack = 1e-9;
        assert.ok(
          totalOf(optimal.pairs, sample.score) <=
            totalOf(greedy.pairs, sample.score) + slack,
        );
      }
    }
  }
});

// Another way: every pair looked at. The bound is that of the search itself.
Deno.test("wholeSearch() counts the pairs of rows within the caliper that matchPairs() would search", () => {
  fc.assert(fc.property(samples, fc.integer({ min: 1, max: 3 }), (sample, partners) => {
    const options = { search: "whole", caliper: 0.5, partners } as const;
    const { caliperWidth } = matchPairs(sample, options);
    const rows = sample.treated.map((_, i) => i);
    const within = new Map<string, number>();
    for (const t of rows.filter((i) => sample.treated[i] === 1)) {
      for (const c of rows.filter((i) => sample.treated[i] === 0)) {
        const alike = sample.alike[t]!;
        if (!allowed(sample, t, c, caliperWidth)) continue;
        within.set(alike, (within.get(alike) ?? 0) + partners);
      }
    }
    assert.equal(wholeSearch(sample, options).pairs, Math.max(0, ...within.values()));
    assert.equal(wholeSearch(sample, { ...options, search: "one-by-one" }).pairs, 0);
    assert.equal(wholeSearch(sample, { ...options, reuse: true }).pairs, 0);
  }));
  const n = 63_300;
  const many = {
    treated: Uint8Array.from({ length: n }, (_, i) => i % 2),
    score: Float64Array.from({ length: n }, (_, i) => i % 7),
  };
  const options = { search: "whole", caliper: Infinity } as const;
  const { pairs, most } = wholeSearch(many, options);
  assert.equal(pairs, (n / 2) ** 2);
  assert.ok(pairs > most);
  assert.throws(() => matchPairs(many, options), new RegExp(`at most ${most} pairs`));
});

// Identity: where no two scores are equal, rows may come in any order.
Deno.test("matchPairs() does not depend on the order of rows where nothing is tied", () => {
  for (const options of [{}, { begin: "closest" }, { search: "whole" }, { partners: 2 }] as const) {
    const sample = randomSample(31, 300);
    const shuffled = new SeededRandom(5).shuffle(sample.treated.map((_, i) => i));
    const moved = {
      treated: shuffled.map((i) => sample.treated[i]!),
      score: shuffled.map((i) => sample.score[i]!),
      alike: shuffled.map((i) => sample.alike[i]!),
    };
    const text = (pairs: [number, number][]) => pairs.map((pair) => pair.join("-")).sort();
    assert.deepEqual(
      text(matchPairs(moved, options).pairs.map(([t, c]) => [shuffled[t]!, shuffled[c]!])),
      text(matchPairs(sample, options).pairs),
    );
  }
});

// Identity: the radix-sorted path for long columns makes the pairs of the plain rule too.
Deno.test("matchPairs() follows the plain rule on long, tied columns", () => {
  const random = new SeededRandom(9);
  const n = 3000;
  const treated = Array.from({ length: n }, () => random.bernoulli(0.3));
  const score = treated.map(() => random.integer(200) / 8 - 12);
  const sample = { treated, score, alike: treated.map(() => "all") };
  for (const begin of ["highest", "as-listed"] as const) {
    const { pairs, caliperWidth } = matchPairs(sample, { begin });
    const options = {
      caliper: 0.2,
      partners: 1,
      reuse: false,
      begin,
      search: "one-by-one",
    } as const;
    assert.deepEqual(pairs, slowGreedy(sample, caliperWidth, options));
  }
});
