import assert from "node:assert/strict";
import { DataError, type MatchOptions, matchPairs } from "mitral";
import { assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";
import { totalOf } from "./random-samples.ts";

// Reference: pairs derived by two separate programs, see the case's source.
Deno.test("matchPairs() makes the reference's pairs, in its order", () => {
  const { expected, tolerance } = referenceCase("match-lalonde-greedy");
  const rows = referenceRows("lalonde.csv");
  const treated = numeric(rows, "treat");
  const score = numeric(rows, "logitps10");
  const id = numeric(rows, "id");
  const result = matchPairs({ treated, score });
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
  assertClose(totalOf(result.pairs, score), expected.pooledSd.totalDistance, tolerance);
});

// By hand. Caliper width 5 throughout: treated at 0 and 3; controls at 1, 2.5 and 9.
Deno.test("matchPairs() takes turns as told", () => {
  const treated = [1, 0, 1, 0, 0];
  const score = [0, 1, 3, 2.5, 9];
  const width = matchPairs({ treated, score }, { caliper: 1 }).caliperWidth;
  const make = (options: MatchOptions) =>
    matchPairs({ treated, score }, { caliper: 5 / width, ...options }).pairs;
  assert.deepEqual(make({}), [[2, 3], [0, 1]]);
  assert.deepEqual(make({ begin: "lowest" }), [[0, 1], [2, 3]]);
  assert.deepEqual(make({ begin: "as-listed" }), [[0, 1], [2, 3]]);
  assert.deepEqual(make({ begin: "closest" }), [[2, 3], [0, 1]]);
  // second round: the treated at 3 is 6 from the control that is left, the one at 0 is 9 from it
  assert.deepEqual(make({ partners: 2 }), [[2, 3], [0, 1]]);
  assert.deepEqual(
    matchPairs({ treated, score }, { caliper: 6 / width * (1 + 1e-12), partners: 2 }).pairs,
    [[2, 3], [0, 1], [2, 4]],
  );
  // with replacement both rounds take the nearest two
  assert.deepEqual(make({ partners: 2, reuse: true }), [[2, 3], [0, 1], [2, 1], [0, 3]]);
});

// By hand: a greedy first pick that costs the second treated its only partner.
Deno.test("matchPairs() searching the whole makes more pairs than one by one where it can", () => {
  const treated = [1, 1, 0, 0];
  const score = [1, 2.2, 1.5, 0.4];
  const caliper = 0.75 / matchPairs({ treated, score }, { caliper: 1 }).caliperWidth;
  const greedy = matchPairs({ treated, score }, { caliper, begin: "as-listed" });
  const optimal = matchPairs({ treated, score }, { caliper, search: "whole" });
  assert.deepEqual(greedy.pairs, [[0, 2]]);
  assert.deepEqual(greedy.unmatchedTreated, [1]);
  assert.deepEqual(optimal.pairs, [[0, 3], [1, 2]]);
});

Deno.test("matchPairs() says what is wrong and where", () => {
  const treated = [1, 0, 1, 0];
  const score = [1, 2, 3, 4];
  assert.throws(() => matchPairs({ treated, score: [1, NaN, 3, 4] }), /score\[1\].*NaN/);
  assert.throws(() => matchPairs({ treated: [1, 1, 1], score: [1, 2, 3] }), DataError);
  assert.throws(() => matchPairs({ treated: [1, 0], score: [1, 2] }), /two rows in each group/);
  assert.throws(() => matchPairs({ treated, score }, { caliper: -1 }), /caliper/);
  assert.throws(() => matchPairs({ treated, score }, { partners: 0 }), /partners/);
  assert.throws(
    () => matchPairs({ treated, score }, { begin: "random" as "closest" }),
    /begin must be one of/,
  );
  assert.throws(() => matchPairs({ treated, score, alike: ["a"] }), /of length 4/);
});

Deno.test("matchPairs() refuses the names it once had, and says the new ones", () => {
  const data = { treated: [1, 0, 1, 0], score: [1, 2, 3, 4] };
  const { score, treated } = data;
  const old: [unknown, unknown, RegExp][] = [
    [{ treated, distance: score }, {}, /distance must be given as "score"/],
    [{ ...data, exact: treated }, {}, /exact must be given as "alike"/],
    [data, { ratio: 2 }, /ratio must be given as "partners"/],
    [data, { replacement: true }, /replacement must be given as "reuse"/],
    [data, { order: "closest" }, /order must be given as "begin"/],
    [data, { method: "optimal" }, /method must be given as "search"/],
  ];
  for (const [given, options, message] of old) {
    assert.throws(() => matchPairs(given as typeof data, options as MatchOptions), message);
  }
});
