import assert from "node:assert/strict";
import {
  cumulativeIncidence,
  incidenceDifference,
  kaplanMeier,
  proportionInterval,
  survivalDifference,
} from "mitral";
import { limitsOfSome } from "../../../lib/competing/incidence/arm-limits.ts";
import { assertAllClose, assertClose } from "../../close.ts";

const fewEvents = { interval: "few-events" } as const;
const exact = { method: "exact" } as const;
const CLOSE = { relative: 1e-8, absolute: 1e-12 };

// Identity: one cause alone is one minus survival, limits included.
Deno.test("cumulativeIncidence() of one cause has the few-events limits of survival", () => {
  const data = { time: [1, 2, 3, 3, 4, 5, 6, 7], event: [0, 1, 0, 1, 0, 0, 1, 0] };
  const [only] = cumulativeIncidence(data, fewEvents).causes;
  const curve = kaplanMeier(data, fewEvents);
  assertAllClose(only!.lower, curve.upper.map((value) => 1 - value), CLOSE);
  assertAllClose(only!.upper, curve.lower.map((value) => 1 - value), CLOSE);
  const [at, survival] = [only!.at([0.5, 3.5, 9]), curve.at([0.5, 3.5, 9])];
  assertAllClose(at.upper, survival.lower.map((value) => 1 - value), CLOSE);
});

// By hand: none of cause 2 seen, 3 still at risk after 2.5, so 1 - 0.025^(1/3).
Deno.test("one cause of several: none seen leaves room, some seen are log-log", () => {
  const data = { time: [1, 2, 3, 4, 5], event: [1, 0, 1, 0, 2] };
  const [first, second] = cumulativeIncidence(data, fewEvents).causes;
  const at = second!.at([2.5, 4.5]);
  assertAllClose(at.lower, [0, 0]);
  assertAllClose(at.upper, [1 - 0.025 ** (1 / 3), 0.975], CLOSE);
  const usual = cumulativeIncidence(data).causes[0]!;
  assertAllClose(first!.lower, usual.lower);
  assertAllClose(first!.upper, usual.upper);
  const { lower, upper } = first!.at([0.5]); // before anything: 5 at risk
  assertAllClose([lower[0]!, upper[0]!], [0, 1 - 0.025 ** (1 / 5)], CLOSE);
  // weights by their effective number: 3 and 1 are worth 1.6
  const weighted = { time: [1, 5, 5], event: [1, 0, 0], weight: [1, 3, 1] };
  const [, none] = cumulativeIncidence(weighted, { ...fewEvents, causes: [1, 2] }).causes;
  assertClose(none!.at([2]).upper[0]!, 1 - 0.025 ** (1 / 1.6), CLOSE);
});

/** Two arms of n, the first `events` rows of each with the event at time 1. */
function arms(n: number, events: [number, number]) {
  const rows = ["a", "b"].flatMap((group, side) =>
    Array.from({ length: n }, (_, i) => ({ group, event: i < events[side]! ? 1 : 0 }))
  );
  return {
    time: rows.map((row) => row.event ? 1 : 3),
    event: rows.map((row) => row.event),
    group: rows.map((row) => row.group),
    pair: rows.map((_, i) => i % n),
  };
}

// By hand: Clopper-Pearson limits of 0/20 and 3/20, squared and added.
Deno.test("a difference from an arm without events has the width of what it could have been", () => {
  const { pair: _, ...data } = arms(20, [0, 3]);
  const [contrast] = incidenceDifference(data, { cause: 1, times: [2] });
  const [none, three] = [0, 3].map((events) => proportionInterval(events, 20, exact));
  assertClose(
    contrast!.difference.lower,
    0.15 - Math.hypot(0.15 - three!.lower, none!.upper),
    CLOSE,
  );
  assertClose(contrast!.difference.upper, 0.15 + (three!.upper - 0.15), CLOSE);
  assert.equal(contrast!.fewEvents, true);
  assert.deepEqual(contrast!.groups.map(({ events }) => events), [0, 3]);
  assertClose(contrast!.groups[0]!.upper, none!.upper, CLOSE);
  // the p value is that of the limits: at one less it, 0 is on the lower limit
  const confidence = 1 - contrast!.difference.pValue;
  const [there] = incidenceDifference(data, { cause: 1, times: [2], confidence });
  assertClose(there!.difference.lower, 0, { relative: 0, absolute: 1e-8 });
  const [survival] = survivalDifference(data, { times: [2] });
  assertClose(survival!.difference.upper, -contrast!.difference.lower, CLOSE);
  assertClose(survival!.groups[0]!.lower, 1 - none!.upper, CLOSE);
  assert.equal(survival!.fewEvents, true);
});

Deno.test("no event in either arm: no difference seen, none excluded", () => {
  const { pair, ...data } = arms(20, [0, 0]);
  const { upper } = proportionInterval(0, 20, exact);
  for (const cluster of [undefined, pair]) {
    const [contrast] = incidenceDifference({ ...data, cluster }, { cause: 1, times: [2] });
    const { estimate, lower, pValue } = contrast!.difference;
    assert.deepEqual([estimate, pValue], [0, 1]);
    assertClose(lower, -upper, CLOSE);
    assertClose(contrast!.difference.upper, upper, CLOSE);
  }
  const weight = data.time.map(() => 0.37);
  const [weighted] = incidenceDifference({ ...data, weight }, { cause: 1, times: [2] });
  assertClose(weighted!.difference.upper, upper, CLOSE);
});

Deno.test("with events enough nothing changes", () => {
  const { pair: _, ...data } = arms(60, [30, 42]);
  const [contrast] = incidenceDifference(data, { cause: 1, times: [2] });
  const { estimate, standardError, lower } = contrast!.difference;
  assert.equal(contrast!.fewEvents, false);
  assertClose(lower, estimate - 1.959963984540054 * standardError, CLOSE);
});

Deno.test("a difference says its direction, and takes the group to subtract", () => {
  const { pair: _, ...data } = arms(40, [6, 12]);
  const [usual] = incidenceDifference(data, { cause: 1, times: [2] });
  const [turned] = incidenceDifference(data, { cause: 1, times: [2], reference: "b" });
  assert.deepEqual([usual!.direction, turned!.direction], ["b - a", "a - b"]);
  assertClose(turned!.difference.estimate, -usual!.difference.estimate);
  assertClose(turned!.difference.lower, -usual!.difference.upper);
  assertClose(turned!.ratio.upper, 1 / usual!.ratio.lower);
  assert.deepEqual(turned!.groups, usual!.groups);
  const [survival] = survivalDifference(data, { times: [2], reference: "b" });
  assert.equal(survival!.direction, "a - b");
  assertClose(survival!.difference.estimate, usual!.difference.estimate);
  assert.throws(
    () => incidenceDifference(data, { cause: 1, times: [2], reference: "c" }),
    /reference must be one of a, b/,
  );
});

// By SciPy 1.17.1: beta.ppf(a, np, n(1 - p) + 1) and 1 - beta.ppf(a, k, l) of the matched moments.
Deno.test("limitsOfSome() agrees with a reference", () => {
  const cases = [
    [0.0044, 0.0024, 430, 0.95, 0.00101774736524, 0.0146123160729],
    [0.018, 0.015, 60, 0.95, 0.00114352568394, 0.0874765570848],
    [0.2, 0.06, 45, 0.95, 0.0952126556905, 0.348175095244],
    [0.018, 0.015, 60, 0.99, 0.000357365934034, 0.113190192418],
  ] as const;
  for (const [estimate, error, number, confidence, lower, upper] of cases) {
    const variance = error ** 2;
    const found = limitsOfSome({ estimate, variance, number }, confidence);
    assertAllClose(found, [lower, upper], { relative: 1e-9, absolute: 0 });
  }
});

Deno.test("limits of few events hardly differ from the exact ones of a proportion, and from log-log ones of many", () => {
  const competing = (events: number, n: number) => ({
    time: Array.from({ length: 2 * n }, (_, i) => i % n < events ? 1 : i % n < events + 3 ? 2 : 3),
    event: Array.from({ length: 2 * n }, (_, i) => i % n < events ? 1 : i % n < events + 3 ? 2 : 0),
    group: Array.from({ length: 2 * n }, (_, i) => i < n ? "a" : "b"),
  });
  for (const events of [1, 3, 8, 15]) {
    const [contrast] = incidenceDifference(competing(events, 80), { cause: 1, times: [2.5] });
    const { lower, upper, fewEvents: few } = contrast!.groups[0]!;
    const own = proportionInterval(events, 80, exact);
    assert.equal(few, true);
    assert.ok(Math.abs(upper / own.upper - 1) < 0.03, `${events}: ${upper}, ${own.upper}`);
    assert.ok(Math.abs(lower / own.lower - 1) < 0.03, `${events}: ${lower}, ${own.lower}`);
  }
  // no jump where they end
  const [last, first] = [19, 21].map((events) => {
    const [contrast] = incidenceDifference(competing(events, 120), { cause: 1, times: [2.5] });
    return contrast!.groups[0]!;
  });
  assert.deepEqual([last!.fewEvents, first!.fewEvents], [true, false]);
  assert.ok(Math.abs((last!.upper - last!.estimate) / (first!.upper - first!.estimate) - 1) < 0.12);
});

Deno.test("limits of few events where everything happened on the first day are those of the number at the start", () => {
  const [contrast] = incidenceDifference({
    time: [0, 0, 0, 0],
    event: [2, 1, 2, 1],
    group: [0, 0, 1, 1],
  }, { cause: 1, times: [0] });
  for (const { estimate, lower, upper } of contrast!.groups) {
    assert.equal(estimate, 0.5);
    assert.ok(0 <= lower && lower < 0.5 && 0.5 < upper && upper <= 1);
  }
});
