import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { linearisedRates } from "../../lib/regression/rates/linearised-rates.ts";
import { assertClose } from "../close.ts";

const day = 1 / 365.25;

Deno.test("linearisedRates() separates early from late events (by hand)", () => {
  // Five patients, early to 30 days. Early: day 10 and day 30 (the day counts). Late: 2 years after
  // day 30. Exposure: (1 year - 30 d) of the one lost, 2 - 0 of the event, 3 years of the last; the
  // one who left at day 5 is not followed through the early time.
  const [rate] = linearisedRates({
    time: [10 * day, 30 * day, 2 + 30 * day, 1, 5 * day, 3 + 30 * day],
    event: [1, 1, 1, 0, 0, 0],
    group: [1, 1, 1, 1, 1, 1],
  });
  assert.equal(rate!.patients, 6);
  assert.equal(rate!.early.events, 2);
  assert.equal(rate!.early.notFollowed, 1);
  assertClose(rate!.early.share.estimate, 2 / 6);
  assert.equal(rate!.late.events, 1);
  assertClose(rate!.late.exposure, 2 + (1 - 30 * day) + 3);
  assertClose(rate!.late.rate.estimate, 100 / (6 - 30 * day));
});

Deno.test("linearisedRates() has the exact limits of the guideline's formula", () => {
  // Source: Akins (2008), limits by chi-square; the values of Garwood's interval for 10 events,
  // 4.795 to 18.390, and of none in 250 patient-years, up to 1.476 per 100: recomputed in R 4.2.2,
  // qchisq (4 digits).
  const early = 0;
  const ten = linearisedRates({
    time: Array.from({ length: 10 }, () => 10),
    event: Array.from({ length: 10 }, () => 1),
    group: Array.from({ length: 10 }, () => "a"),
  }, { early })[0]!;
  assertClose(ten.late.rate.lower, 4.795, { relative: 0, absolute: 5e-4 });
  assertClose(ten.late.rate.upper, 18.39, { relative: 0, absolute: 5e-3 });
  const none = linearisedRates({
    time: Array.from({ length: 10 }, () => 25),
    event: Array.from({ length: 10 }, () => 0),
    group: Array.from({ length: 10 }, () => "a"),
  }, { early })[0]!;
  assert.equal(none.late.rate.lower, 0);
  assertClose(none.late.rate.upper, 1.476, { relative: 0, absolute: 5e-4 });
});

Deno.test("linearisedRates() adds up over periods, and its unit does not matter (properties)", () => {
  const rows = fc.array(
    fc.record({
      time: fc.integer({ min: 0, max: 4000 }).map((d) => d / 365.25),
      event: fc.constantFrom(0, 1),
      group: fc.constantFrom("a", "b"),
    }),
    { minLength: 1, maxLength: 50 },
  );
  fc.assert(fc.property(rows, (given) => {
    const data = {
      time: given.map(({ time }) => time),
      event: given.map(({ event }) => event),
      group: given.map(({ group }) => group),
    };
    for (const one of linearisedRates(data, { cuts: [1, 5] })) {
      const own = given.filter(({ group }) => group === one.group);
      const sum = (key: "events" | "exposure") => one.periods.reduce((all, p) => all + p[key], 0);
      assert.equal(sum("events"), one.late.events);
      assertClose(sum("exposure"), one.late.exposure);
      assert.equal(
        one.early.events + one.late.events,
        own.filter(({ event }) => event === 1).length,
      );
      assert.equal(one.patients, own.length);
    }
    const decades = { ...data, time: data.time.map((t) => t / 10) };
    const options = { early: 30 / 3652.5, cuts: [0.1], per: 10 };
    const inDecades = linearisedRates(decades, options);
    linearisedRates(data, { cuts: [1] }).forEach(({ late }, k) => {
      assertClose(inDecades[k]!.late.rate.estimate, late.rate.estimate);
    });
  }));
});

Deno.test("linearisedRates() sees whether the late rate is one (by hand)", () => {
  // 12 events in 10 years of exposure, then 3 in 30: expected 15 / 4 and 45 / 4;
  // 2 (12 log(12 / 3.75) + 3 log(3 / 11.25)) = 19.986...
  const time = [
    ...Array.from({ length: 12 }, (_, i) => 10 / 13 * (i + 0.5) / 6),
    ...Array.from({ length: 3 }, () => 2),
    ...Array.from({ length: 1 }, () => 1),
  ];
  const event = [...Array.from({ length: 12 }, () => 1), 1, 1, 1, 0];
  const group = time.map(() => 0);
  const [rate] = linearisedRates({ time, event, group }, { early: 0, cuts: [1.5] });
  const [a, b] = rate!.periods;
  const expected = (k: { exposure: number }) => 15 * k.exposure / rate!.late.exposure;
  const statistic = 2 *
    (a!.events * Math.log(a!.events / expected(a!)) +
      b!.events * Math.log(b!.events / expected(b!)));
  assertClose(rate!.constant!.statistic, statistic);
  assert.equal(rate!.constant!.degreesOfFreedom, 1);
  const even = linearisedRates({
    time: [1, 2, 1, 2],
    event: [1, 1, 1, 1],
    group: [0, 0, 0, 0],
  }, { early: 0 })[0]!;
  assert.equal(even.constant, undefined);
});

Deno.test("linearisedRates() without late follow-up has no rate, and refuses bad cuts", () => {
  const [rate] = linearisedRates({ time: [0, 0.01], event: [1, 0], group: ["a", "a"] });
  assert.ok(Number.isNaN(rate!.late.rate.estimate));
  assert.equal(rate!.late.exposure, 0);
  const data = { time: [1], event: [1], group: ["a"] };
  assert.throws(() => linearisedRates(data, { cuts: [0.01] }), DataError);
  assert.throws(() => linearisedRates({ ...data, event: [2] }), DataError);
  assert.throws(() => linearisedRates({ ...data, time: [-1] }), DataError);
});

Deno.test("linearisedRates() refuses days given for years", () => {
  const data = { time: [300, 12], event: [1, 0], group: ["a", "b"] };
  assert.throws(
    () => linearisedRates(data),
    /time\[0\] must be in years, at most 120 \(days or months\?\), got 300/,
  );
  assert.equal(linearisedRates({ ...data, time: [120, 12] })[0]!.patients, 1);
});

Deno.test("linearisedRates() counts as not followed only those lost early without an event", () => {
  // by hand: one early event, two lost before the early limit, one followed beyond it
  const [rate] = linearisedRates({
    time: [0.02, 0.01, 0.03, 2],
    event: [1, 0, 0, 0],
    group: ["all", "all", "all", "all"],
  });
  assert.equal(rate!.early.events, 1);
  assert.equal(rate!.early.notFollowed, 2);
});
