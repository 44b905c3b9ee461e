import assert from "node:assert/strict";
import { DataError, mcnemarTest, pairedOutcome } from "mitral";
import { assertClose } from "../../close.ts";

/**
 * Pairs whose members have the event at 0.5 (1), are free of it at 2 (0), or are lost at 0.2 (2).
 */
function pairsOf(...given: [treated: 0 | 1 | 2, control: 0 | 1 | 2, times?: number][]) {
  const data = { time: [], event: [], treated: [], pair: [] } as Record<string, number[]>;
  let pair = 0;
  const add = (fate: 0 | 1 | 2, treated: number) => {
    data.time!.push([2, 0.5, 0.2][fate]!);
    data.event!.push(fate === 1 ? 1 : 0);
    data.treated!.push(treated);
    data.pair!.push(pair);
  };
  for (const [one, control, times = 1] of given) {
    for (let k = 0; k < times; k++, pair++) {
      add(one, 1);
      add(control, 0);
    }
  }
  const { time, event, treated, pair: labels } = data;
  return { time: time!, event: event!, treated: treated!, pair: labels! };
}

// Source: Newcombe (1998) Stat Med 17:2635-2650, his example 36, 12, 2, 0 by method 10: 0.0569 to
// 0.3404 (limits from memory, to the digits printed).
Deno.test("pairedOutcome() gives the published limits of a paired difference", () => {
  const result = pairedOutcome(pairsOf([1, 1, 36], [1, 0, 12], [0, 1, 2]), { at: 1 });
  assert.deepEqual(result.pairs, {
    both: 36,
    treatedOnly: 12,
    controlOnly: 2,
    neither: 0,
    used: 50,
  });
  assertClose(result.difference.estimate, 0.2);
  assertClose(result.difference.lower, 0.0569, { relative: 0, absolute: 5e-5 });
  assertClose(result.difference.upper, 0.3404, { relative: 0, absolute: 5e-5 });
  assert.deepEqual(result.test, mcnemarTest(12, 2));
});

// By hand.
Deno.test("pairedOutcome() counts pairs it cannot use, and says why", () => {
  const data = pairsOf([1, 0, 3], [1, 2, 2], [2, 0], [2, 2], [0, 0, 4]);
  const alone = {
    time: [...data.time, 2],
    event: [...data.event, 0],
    treated: [...data.treated, 1],
    pair: [...data.pair, 99],
  };
  const result = pairedOutcome(alone, { at: 1 });
  assert.equal(result.pairs.used, 7);
  assert.deepEqual(result.notUsed, { unknown: 4, incomplete: 1 });
  assertClose(result.proportions.treated, 3 / 7);
  assert.equal(result.proportions.control, 0);
  // at 0.2 those lost later are still under observation: known to be free of the event
  assert.deepEqual(pairedOutcome(alone, { at: 0.2 }).notUsed, { unknown: 0, incomplete: 1 });
  assert.equal(pairedOutcome(alone, { at: 0.2 }).pairs.neither, 11);
  // an event at the very time has happened
  assert.equal(pairedOutcome(alone, { at: 0.5 }).pairs.treatedOnly, 3);
});

Deno.test("pairedOutcome() turns round with its groups, and has no difference without pairs", () => {
  const data = pairsOf([1, 1, 5], [1, 0, 4], [0, 1, 9], [0, 0, 20]);
  const there = pairedOutcome(data, { at: 1 }).difference;
  const swapped = { ...data, treated: data.treated.map((one) => 1 - one) };
  const back = pairedOutcome(swapped, { at: 1 }).difference;
  assertClose(back.lower, -there.upper);
  assertClose(back.upper, -there.lower);
  const none = pairedOutcome(pairsOf([2, 1], [0, 2]), { at: 1 });
  assert.equal(none.test.pValue, 1);
  assert.ok(Number.isNaN(none.difference.estimate) && Number.isNaN(none.proportions.treated));
});

Deno.test("pairedOutcome() refuses two treated in a pair", () => {
  const data = pairsOf([1, 0, 3]);
  assert.throws(
    () => pairedOutcome({ ...data, treated: data.treated.map(() => 1) }, { at: 1 }),
    (error) => error instanceof DataError && /pair\[1\]/.test(error.message),
  );
});
