import assert from "node:assert/strict";
import fc from "fast-check";
import { expectedTimeDifference, stateOccupation, transitionRows } from "mitral";
import { assertClose } from "../../close.ts";

// Whatever becomes of a few patients, and however they weigh.
Deno.test("limits of an expected time are numbers, hold the estimate, and lie within the horizon", () => {
  const patient = fc.record({
    time: fc.integer({ min: 1, max: 16 }),
    death: fc.integer({ min: 0, max: 1 }),
    recurrence: fc.integer({ min: 0, max: 20 }),
    weight: fc.constantFrom(1, 1, 0.3, 0.01, 20),
  });
  fc.assert(
    fc.property(fc.array(patient, { minLength: 1, maxLength: 12 }), (patients) => {
      const { row, states, ...rows } = transitionRows({
        time: patients.map(({ time }) => time),
        death: patients.map(({ death }) => death),
        stages: {
          recurrence: patients.map(({ time, recurrence }) =>
            recurrence <= time ? recurrence : Infinity
          ),
        },
      });
      const weight = Array.from(row, (i) => patients[i]!.weight);
      const horizon = Math.max(...patients.map(({ time }) => time));
      const fit = stateOccupation({ ...rows, weight }, { states });
      for (const { estimate, lower, upper } of fit.expectedTime(horizon)) {
        const text = JSON.stringify({ patients, estimate, lower, upper });
        assert.ok(lower >= 0 && upper <= horizon + 1e-9, text);
        assert.ok(lower <= estimate + 1e-9 && estimate <= upper + 1e-9, text);
      }
    }),
    { numRuns: 200 },
  );
});

// By hand: of 40 patients followed for 10 years one has a recurrence at 5 and lives; nobody is
// operated again. The mean is 5 / 40 of a year; its error that of 39 zeros and a five.
Deno.test("expected times allow for few having been in a state", () => {
  const n = 40;
  const courses = (found: number[]) => {
    const all = Array(n * Math.ceil(found.length / n)).fill(Infinity);
    const recurrence = all.map((_, i) => found[i] ?? Infinity);
    return transitionRows({
      time: all.map(() => 10),
      death: all.map(() => 0),
      stages: { recurrence, reoperation: all },
    });
  };
  const { row: _, states, ...one } = courses([5]);
  const [operated, recurrence, reoperation] = stateOccupation(one, { states }).expectedTime(10);
  assertClose(recurrence!.estimate, 5 / 40);
  assertClose(recurrence!.standardError, Math.sqrt(39 * (5 / 40) ** 2 + (5 - 5 / 40) ** 2) / 40);
  assert.ok(recurrence!.lower > 0 && recurrence!.lower < 0.01, `${recurrence!.lower}`);
  // well above the plain 5 / 40 + 1.96 errors, below what everybody's moving at once would be
  assert.ok(recurrence!.upper > 0.45 && recurrence!.upper < 1, `${recurrence!.upper}`);
  // what one state may have gained the other may have lost
  assertClose(operated!.lower, 10 - recurrence!.upper);
  assertClose(operated!.upper, 10 - recurrence!.lower);
  // none of 40 seen, each of them for half the horizon
  assert.equal(reoperation!.estimate, 0);
  assertClose(reoperation!.upper, 10 * (1 - 0.025 ** (1 / 80)));
  // a difference of two such is put together from their limits, and turns with them
  const { row, states: __, ...apart } = courses([5, ...Array(n - 1).fill(Infinity), 5, 6, 7]);
  const both = { ...apart, group: Array.from(row, (patient) => patient < n ? 0 : 1) };
  const found = expectedTimeDifference(both, { horizon: 10, states })[1]!;
  const [low, high] = found.groups;
  assertClose(low!.upper, recurrence!.upper);
  const { difference } = found;
  assertClose(difference.estimate, (5 + 4 + 3 - 5) / 40);
  assertClose(
    difference.upper,
    difference.estimate + Math.hypot(high!.upper - high!.estimate, low!.estimate - low!.lower),
  );
  const turned = expectedTimeDifference(both, { horizon: 10, states, reference: 1 })[1]!;
  assertClose(turned.difference.lower, -difference.upper);
  assertClose(turned.difference.pValue, difference.pValue);
  assert.ok(difference.lower < 0 && difference.pValue > 0.05);
});
