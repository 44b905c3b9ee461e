import assert from "node:assert/strict";
import fc from "fast-check";
import { kaplanMeier, proportionInterval } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

const fewEvents = { interval: "few-events" } as const;

// Reference: 60-digit arithmetic, see the case's source.
Deno.test("kaplanMeier() has the exact beta product limits of the reference", () => {
  const { expected, tolerance } = referenceCase("beta-product-limits");
  for (const set of expected.sets) {
    const wanted = Object.entries(set.where as Record<string, string>);
    const rows = referenceRows(set.file)
      .filter((row) => wanted.every(([column, value]) => row[column] === value));
    const curve = kaplanMeier(
      { time: numeric(rows, set.time), event: numeric(rows, set.status) },
      { ...fewEvents, confidence: set.confidence },
    );
    const { lower, upper } = curve.at(set.times);
    assertAllClose(lower, set.exact.lower, tolerance, `${set.set} lower`);
    assertAllClose(upper, set.exact.upper, tolerance, `${set.set} upper`);
  }
});

// By hand: nobody of 10 failed, so the upper limit of the risk is 1 - 0.025^(1/10).
Deno.test("no event is no certainty: 0 of 10 leaves room for 31 in 100", () => {
  const data = { time: Array(10).fill(5), event: Array(10).fill(0) };
  const { lower, upper } = kaplanMeier(data, fewEvents).at([0, 2, 4.9]);
  assertAllClose(upper, [1, 1, 1]);
  assertAllClose(lower, Array(3).fill(0.025 ** (1 / 10)), { relative: 1e-14, absolute: 0 });
  assert.equal(kaplanMeier(data).at([2]).lower[0], 1); // what the normal limits say
});

// Identity: without censoring the limits are Clopper and Pearson's.
Deno.test("without censoring the limits are those of a proportion", () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 1, max: 12 }), { minLength: 2, maxLength: 40 }),
      (time) => {
        const curve = kaplanMeier({ time, event: time.map(() => 1) }, fewEvents);
        curve.time.forEach((t, j) => {
          const alive = time.filter((value) => value > t).length;
          const exact = proportionInterval(alive, time.length, { method: "exact" });
          assertClose(curve.lower[j]!, exact.lower, { relative: 1e-8, absolute: 1e-12 });
          assertClose(curve.upper[j]!, exact.upper, { relative: 1e-8, absolute: 1e-12 });
        });
      },
    ),
    { numRuns: 40 },
  );
});

// Identity: a factor common to all weights changes nothing, and unit weights are no weights.
Deno.test("weights count by their effective number", () => {
  const time = [1, 2, 3, 4, 5, 6, 7, 8];
  const event = [0, 1, 0, 0, 1, 0, 0, 0];
  const plain = kaplanMeier({ time, event }, fewEvents);
  for (const factor of [1, 0.3]) {
    const weighted = kaplanMeier({ time, event, weight: time.map(() => factor) }, fewEvents);
    assertAllClose(weighted.lower, plain.lower, { relative: 1e-8, absolute: 1e-12 });
    assertAllClose(weighted.upper, plain.upper, { relative: 1e-8, absolute: 1e-12 });
  }
  // by hand: weights 3 and 1 are worth 16 / 10 patients, so 0 events leave 0.025^(1 / 1.6)
  const two = kaplanMeier({ time: [5, 5], event: [0, 0], weight: [3, 1] }, fewEvents);
  assertClose(two.at([1]).lower[0]!, 0.025 ** (1 / 1.6));
});

Deno.test("few-events limits: delayed entry, everyone failed, past the end", () => {
  const late = kaplanMeier({ time: [4, 5, 6], event: [1, 0, 0], entry: [0, 2, 4] }, fewEvents);
  assert.equal(late.lower.length, 3);
  // after 4, two are at risk: the one who entered at 4 counts from then on
  assertClose(late.at([4.5]).upper[0]!, Math.sqrt(0.975)); // Beta(2, 1): two at risk, one failed
  const over = kaplanMeier({ time: [1, 2], event: [1, 1] }, fewEvents);
  assert.equal(over.lower[1], 0);
  assertClose(over.upper[1]!, 1 - Math.sqrt(0.025)); // Clopper-Pearson of 0 of 2
  const ended = kaplanMeier({ time: [1, 2], event: [0, 0] }, fewEvents).at([3]);
  assert.deepEqual([ended.survival[0], ended.lower[0], ended.upper[0]], [NaN, 0, 1]);
});
