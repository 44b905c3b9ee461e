import { equal, ok } from "node:assert/strict";
import fc from "fast-check";
import {
  effectiveAtRisk,
  incidenceDifference,
  withEffectiveNumbers,
} from "../../../lib/competing/incidence/mod.ts";
import { assertClose } from "../../close.ts";

const row = fc.record({
  time: fc.integer({ min: 1, max: 20 }),
  event: fc.integer({ min: 0, max: 2 }),
  group: fc.integer({ min: 0, max: 1 }),
  weight: fc.double({ min: 0.01, max: 50, noNaN: true }),
});
const cohort = fc.array(row, { minLength: 2, maxLength: 60 })
  .filter((rows) => new Set(rows.map(({ group }) => group)).size === 2)
  .map((rows) => ({
    time: rows.map(({ time }) => time),
    event: rows.map(({ event }) => event),
    group: rows.map(({ group }) => group),
    weight: rows.map(({ weight }) => weight),
  }));

Deno.test("effectiveAtRisk() by hand: (sum w)^2 / sum w^2 of those not gone before", () => {
  const data = { time: [1, 2, 3], event: [1, 0, 1], group: [1, 1, 1], weight: [3, 1, 1] };
  const effective = effectiveAtRisk(data)!;
  assertClose(effective(1, 0), 25 / 11);
  assertClose(effective(1, 1), 25 / 11); // who goes at a time is at risk there
  assertClose(effective(1, 2), 2);
  assertClose(effective(1, 3.5), 0);
  equal(effectiveAtRisk({ ...data, weight: undefined }), undefined);
});

Deno.test("effectiveAtRisk() is never above the patients who are followed", () => {
  fc.assert(fc.property(cohort, fc.integer({ min: 0, max: 21 }), (data, at) => {
    const effective = effectiveAtRisk(data)!;
    for (const group of new Set(data.group)) {
      const followed = data.time.filter((t, i) => data.group[i] === group && t >= at).length;
      const shown = effective(group, at);
      ok(shown <= followed + 1e-9, `${shown} of ${followed}`);
      ok(followed === 0 ? shown === 0 : shown >= 1 - 1e-9);
      ok(Math.round(shown) <= followed);
    }
  }));
});

Deno.test("effectiveAtRisk() of equal weights is the number of patients", () => {
  fc.assert(fc.property(cohort, fc.integer({ min: 0, max: 21 }), (data, at) => {
    const alike = { ...data, weight: data.weight.map(() => 2.5) };
    for (const group of new Set(data.group)) {
      const followed = data.time.filter((t, i) => data.group[i] === group && t >= at).length;
      assertClose(effectiveAtRisk(alike)!(group, at), followed);
    }
  }));
});

Deno.test("withEffectiveNumbers() adds them to each group, and to nothing without weights", () => {
  const data = {
    time: [1, 2, 3, 4],
    event: [1, 0, 1, 0],
    group: [0, 0, 1, 1],
    weight: [3, 1, 1, 1],
  };
  const contrasts = incidenceDifference(data, { cause: 1, times: [1] });
  const [found] = withEffectiveNumbers(contrasts, effectiveAtRisk(data));
  const numbers = found!.groups.map((one) => "effectiveAtRisk" in one && one.effectiveAtRisk);
  assertClose(Number(numbers[0]), 16 / 10);
  assertClose(Number(numbers[1]), 2);
  const without = withEffectiveNumbers(contrasts, effectiveAtRisk({ ...data, weight: undefined }));
  ok(without.every(({ groups }) => groups.every((one) => !("effectiveAtRisk" in one))));
});
