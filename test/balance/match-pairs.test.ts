import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, type MatchOptions, matchPairs, SeededRandom } from "mitral";
import { assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

// Reference: pairs derived by two separate programs, see the case's source.
Deno.test("matchPairs() makes the reference's pairs, in its order", () => {
  const { expected, tolerance } = referenceCase("match-lalonde-greedy");
  const rows = referenceRows("lalonde.csv");
  const treated = numeric(rows, "treat");
  const distance = numeric(rows, "logitps10");
  const id = numeric(rows, "id");
  const result = matchPairs({ treated, distance });
  assertClose(result.caliperWidth, expected.pooledSd.caliper, tolerance);
  assert.deepEqual(
    result.pairs.map(([t]) => id[t]),
    expected.pooledSd.pairsInOrder.treatedId,
  );
  assert.deepEqual(
    result.pairs.map(([, c]) => id[c]),
    expected.pooledSd.pairsInOrder.controlId,
  );
  assert.equal(result.unmatchedTreated.length, 185 - expected.pooledSd.nPairs);
  assertClose(totalOf(result.pairs, distance), expected.pooledSd.totalDistance, tolerance);
});

// By hand. Caliper width 5 throughout: treated at 0 and 3; controls at 1, 2.5 and 9.
Deno.test("matchPairs() takes turns as told", () => {
  const treated = [1, 0, 1, 0, 0];
  const distance = [0, 1, 3, 2.5, 9];
  const width = matchPairs({ treated, distance }, { caliper: 1 }).caliperWidth;
  const make = (options: MatchOptions) =>
    matchPairs({ treated, distance }, { caliper: 5 / width, ...options }).pairs;
  assert.deepEqual(make({}), [[2, 3], [0, 1]]);
  assert.deepEqual(make({ order: "ascending" }), [[0, 1], [2, 3]]);
  assert.deepEqual(make({ order: "as-given" }), [[0, 1], [2, 3]]);
  assert.deepEqual(make({ order: "closest" }), [[2, 3], [0, 1]]);
  // second round: the treated at 3 is 6 from the control that is left, the one at 0 is 9 from it
  assert.deepEqual(make({ ratio: 2 }), [[2, 3], [0, 1]]);
  assert.deepEqual(
    matchPairs({ treated, distance }, { caliper: 6 / width * (1 + 1e-12), ratio: 2 }).pairs,
    [[2, 3], [0, 1], [2, 4]],
  );
  // with replacement both rounds take the nearest two
  assert.deepEqual(make({ ratio: 2, replacement: true }), [[2, 3], [0, 1], [2, 1], [0, 3]]);
});

// By hand: a greedy first pick that costs the second treated its only partner.
Deno.test("matchPairs() optimal makes more pairs than greedy where it can", () => {
  const treated = [1, 1, 0, 0];
  const distance = [1, 2.2, 1.5, 0.4];
  const caliper = 0.75 / matchPairs({ treated, distance }, { caliper: 1 }).caliperWidth;
  const greedy = matchPairs({ treated, distance }, { caliper, order: "as-given" });
  const optimal = matchPairs({ treated, distance }, { caliper, method: "optimal" });
  assert.deepEqual(greedy.pairs, [[0, 2]]);
  assert.deepEqual(greedy.unmatchedTreated, [1]);
  assert.deepEqual(optimal.pairs, [[0, 3], [1, 2]]);
});

// ---- properties against plain programs that look at every pair -------------------------------

interface Sample {
  treated: number[];
  distance: number[];
  exact: string[];
}

// distances on a coarse grid, so that ties of every kind come up
const samples: fc.Arbitrary<Sample> = fc.array(
  fc.record({
    treated: fc.constantFrom(0, 1),
    distance: fc.integer({ min: 0, max: 12 }).map((d) => d / 4),
    exact: fc.constantFrom("a", "b"),
  }),
  { minLength: 4, maxLength: 24 },
).filter((rows) => {
  const ones = rows.filter((row) => row.treated === 1).length;
  return ones >= 2 && rows.length - ones >= 2;
}).map((rows) => ({
  treated: rows.map((row) => row.treated),
  distance: rows.map((row) => row.distance),
  exact: rows.map((row) => row.exact),
}));

function totalOf(pairs: [number, number][], distance: ArrayLike<number>): number {
  return pairs.reduce((sum, [t, c]) => sum + Math.abs(distance[t]! - distance[c]!), 0);
}

function allowed(sample: Sample, t: number, c: number, width: number): boolean {
  return sample.exact[t] === sample.exact[c] &&
    Math.abs(sample.distance[t]! - sample.distance[c]!) <= width;
}

/** The rule of greedy matching as one would say it. */
function slowGreedy(sample: Sample, width: number, options: Required<MatchOptions>) {
  const { treated, distance } = sample;
  const gap = (t: number, c: number) => Math.abs(distance[t]! - distance[c]!);
  const rows = treated.map((_, i) => i);
  const controls = rows.filter((i) => treated[i] === 0);
  const sign = options.order === "descending" ? -1 : options.order === "ascending" ? 1 : 0;
  const turns = rows.filter((i) => treated[i] === 1)
    .sort((a, b) => sign * (distance[a]! - distance[b]!) || a - b);
  const pairs: [number, number][] = [];
  const taken = new Set<number>();
  for (let round = 0; round < options.ratio; round++) {
    if (options.order === "closest") {
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
        if (options.replacement ? own.has(c) : taken.has(c)) continue;
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

Deno.test("matchPairs() greedy equals looking at every pair, in every order", () => {
  const options = fc.record({
    caliper: fc.constantFrom(0, 0.2, 1, Infinity),
    ratio: fc.constantFrom(1, 2, 3),
    replacement: fc.boolean(),
    order: fc.constantFrom("descending", "ascending", "as-given", "closest"),
    method: fc.constant("greedy"),
  }) as fc.Arbitrary<Required<MatchOptions>>;
  fc.assert(
    fc.property(samples, options, (sample, chosen) => {
      if (chosen.order === "closest") chosen = { ...chosen, replacement: false };
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
function bestAssignment(sample: Sample, width: number, ratio: number): [number, number] {
  const rows = sample.treated.map((_, i) => i);
  const controls = rows.filter((i) => sample.treated[i] === 0);
  const lines = rows.filter((i) => sample.treated[i] === 1).flatMap((t) => Array(ratio).fill(t));
  let best = new Map<number, [number, number]>([[0, [0, 0]]]);
  for (const t of lines) {
    const next = new Map(best);
    for (const [used, [count, total]] of best) {
      controls.forEach((c, bit) => {
        if (used & (1 << bit) || !allowed(sample, t, c, width)) return;
        const now: [number, number] = [
          count + 1,
          total + Math.abs(sample.distance[t]! - sample.distance[c]!),
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

Deno.test("matchPairs() optimal equals the best of all assignments", () => {
  const small = samples.filter(({ treated }) =>
    treated.length <= 13 && treated.filter((one) => one === 0).length <= 8
  );
  const caliper = fc.constantFrom(0, 0.2, 0.7, Infinity);
  fc.assert(
    fc.property(small, caliper, fc.constantFrom(1, 2), (sample, caliper, ratio) => {
      const { pairs, caliperWidth } = matchPairs(sample, { caliper, ratio, method: "optimal" });
      const [count, total] = bestAssignment(sample, caliperWidth, ratio);
      assert.equal(pairs.length, count);
      assertClose(totalOf(pairs, sample.distance), total, { relative: 1e-12, absolute: 1e-12 });
      checkPairs(pairs, sample, caliperWidth, ratio);
    }),
    { numRuns: 300 },
  );
});

function checkPairs(
  pairs: [number, number][],
  sample: Sample,
  width: number,
  ratio: number,
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
  for (const [t] of pairs) assert.ok(uses.get(t)! <= ratio);
}

function randomSample(seed: number, n: number): Sample {
  const random = new SeededRandom(seed);
  const treated = Array.from({ length: n }, () => random.bernoulli(0.3));
  const distance = treated.map((one) => random.normal() + 0.5 * one);
  return { treated, distance, exact: treated.map(() => `s${random.integer(3)}`) };
}

Deno.test("matchPairs() optimal never totals more than greedy with as many pairs", () => {
  for (let seed = 1; seed <= 20; seed++) {
    const sample = randomSample(seed, 400);
    const optimal = matchPairs(sample, { method: "optimal" });
    checkPairs(optimal.pairs, sample, optimal.caliperWidth, 1);
    for (const order of ["descending", "ascending", "as-given", "closest"] as const) {
      const greedy = matchPairs(sample, { order });
      checkPairs(greedy.pairs, sample, greedy.caliperWidth, 1);
      assert.ok(optimal.pairs.length >= greedy.pairs.length);
      if (optimal.pairs.length === greedy.pairs.length) {
        const slack = 1e-9;
        assert.ok(
          totalOf(optimal.pairs, sample.distance) <=
            totalOf(greedy.pairs, sample.distance) + slack,
        );
      }
    }
  }
});

// Identity: where no two distances are equal, rows may come in any order.
Deno.test("matchPairs() does not depend on the order of rows where nothing is tied", () => {
  for (const options of [{}, { order: "closest" }, { method: "optimal" }, { ratio: 2 }] as const) {
    const sample = randomSample(31, 300);
    const shuffled = new SeededRandom(5).shuffle(sample.treated.map((_, i) => i));
    const moved = {
      treated: shuffled.map((i) => sample.treated[i]!),
      distance: shuffled.map((i) => sample.distance[i]!),
      exact: shuffled.map((i) => sample.exact[i]!),
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
  const distance = treated.map(() => random.integer(200) / 8 - 12);
  const sample = { treated, distance, exact: treated.map(() => "all") };
  for (const order of ["descending", "as-given"] as const) {
    const { pairs, caliperWidth } = matchPairs(sample, { order });
    const options = {
      caliper: 0.2,
      ratio: 1,
      replacement: false,
      order,
      method: "greedy",
    } as const;
    assert.deepEqual(pairs, slowGreedy(sample, caliperWidth, options));
  }
});

Deno.test("matchPairs() says what is wrong and where", () => {
  const treated = [1, 0, 1, 0];
  const distance = [1, 2, 3, 4];
  assert.throws(() => matchPairs({ treated, distance: [1, NaN, 3, 4] }), /distance\[1\].*NaN/);
  assert.throws(() => matchPairs({ treated: [1, 1, 1], distance: [1, 2, 3] }), DataError);
  assert.throws(() => matchPairs({ treated: [1, 0], distance: [1, 2] }), /two rows in each group/);
  assert.throws(() => matchPairs({ treated, distance }, { caliper: -1 }), /caliper/);
  assert.throws(() => matchPairs({ treated, distance }, { ratio: 0 }), /ratio/);
  assert.throws(
    () => matchPairs({ treated, distance }, { order: "random" as "closest" }),
    /order must be one of/,
  );
  assert.throws(() => matchPairs({ treated, distance, exact: ["a"] }), /of length 4/);
});
