import assert from "node:assert/strict";
import fc from "fast-check";
import { cumulativeIncidence, DataError, expectedTimeDifference, kaplanMeier } from "mitral";
import { restrictedMeanSurvival, stateOccupation, transitionRows } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { followUps } from "../generate.ts";

/** 40 made-up patients: operated, some with recurrence, some dead. */
function course() {
  const index = Array.from({ length: 40 }, (_, i) => i);
  const time = index.map((i) => 2 + (i * 17) % 23);
  const recurrence = index.map((i) =>
    (i * 5 + Math.floor(i / 4)) % 3 === 0 ? 1 + (i * 7) % 11 : 99
  );
  return {
    time,
    death: index.map((i) => (i * i + Math.floor(i / 3)) % 3 === 0 ? 0 : 1),
    stages: { recurrence: recurrence.map((r, i) => r < time[i]! ? r : Infinity) },
  };
}

// Reference: R 4.2.2, survival 3.5-3, survfit(Surv(entry, time, to) ~ 1, id = subject) on the rows
// that transitionRows makes of the above: pstate and std.err at 5, 10, 18, and the integrals of
// pstate and of its influence to 15; 12 digits printed.
Deno.test("stateOccupation() matches the reference for an illness-death course", () => {
  const fit = stateOccupation(transitionRows(course()));
  assert.deepEqual(fit.states.map((s) => s.state), ["operated", "recurrence", "dead"]);
  assert.equal(fit.n, 40);
  const digits = { relative: 1e-10, absolute: 1e-11 };
  const blocks = fit.at([5, 10, 18]);
  const right = [
    [[0.7, 0.3880071301248, 0.0652896613191], [0.0724568837309, 0.0812201949307, 0.0556464950952]],
    [[0.163888888889, 0.335110913052, 0.304131346141], [
      0.0594382063763,
      0.0784390707703,
      0.0775271765799,
    ]],
    [[0.136111111111, 0.276881956823, 0.630578992540], [
      0.0551977288130,
      0.0741305862424,
      0.0893993245888,
    ]],
  ];
  blocks.forEach((block, k) => {
    assertAllClose(block.probability, right[k]![0]!, digits, "probability");
    assertAllClose(block.standardError, right[k]![1]!, digits, "standard error");
  });
  const expected = fit.expectedTime(15);
  // its means leave out the time before the first event, 1, when all are in the first state
  assertAllClose(
    expected.map((e) => e.estimate),
    [1 + 7.74866765696, 3.24136224995, 3.00997009309],
    digits,
  );
  assertAllClose(expected.map((e) => e.standardError), [
    0.731183980202,
    0.725941661208,
    0.678130539253,
  ], digits);
  const moves = fit.transitions.map(({ from, to, events }) => `${from}-${to} ${events}`);
  assert.deepEqual(moves.slice(0, 1), ["operated-recurrence 16"]);
  assert.equal(fit.transitions.reduce((sum, move) => sum + move.events, 0), 43);
});

// By hand: 4 operated. At 1 one recurs; at 2 one operated dies (of 3) and at 3 the recurrent one
// (of 1); the rest are seen to 4. p(operated) = 3/4, then 3/4 * 2/3; p(recurrence) = 1/4 until 3.
Deno.test("stateOccupation() matches four patients worked by hand", () => {
  const fit = stateOccupation(transitionRows({
    time: [3, 2, 4, 4],
    death: [1, 1, 0, 0],
    stages: { recurrence: [1, Infinity, Infinity, Infinity] },
  }));
  assertAllClose(fit.time, [1, 2, 3]);
  assertAllClose(fit.states[0]!.probability, [3 / 4, 1 / 2, 1 / 2]);
  assertAllClose(fit.states[1]!.probability, [1 / 4, 1 / 4, 0]);
  assertAllClose(fit.states[2]!.probability, [0, 1 / 4, 1 / 2]);
  const time = fit.expectedTime(4);
  assertAllClose(time.map((t) => t.estimate), [1 + 3 / 4 + 1, 1 / 2, 1 / 4 + 1 / 2]);
});

// Identities. One transient state: cumulative incidence, errors included.
Deno.test("stateOccupation() of one state left for good is the cumulative incidence", () => {
  fc.assert(fc.property(followUps({ max: 30, weight: true, entry: false }), (rows) => {
    const kept = rows.time.flatMap((t, i) => t > 0 ? [i] : []);
    if (!kept.some((i) => rows.event[i]! > 0)) return;
    const time = kept.map((i) => rows.time[i]!);
    const event = kept.map((i) => rows.event[i]!);
    const weight = rows.weight && kept.map((i) => rows.weight![i]!);
    const weights = weight && { weight };
    const fit = stateOccupation({
      subject: kept,
      from: kept.map(() => "alive"),
      to: event.map((code) => code === 0 ? "" : `cause ${code}`),
      entry: kept.map(() => 0),
      time,
      ...weights,
    }, { states: ["alive", "cause 1", "cause 2"] });
    const { causes } = cumulativeIncidence({ time, event, ...weights }, { causes: [1, 2] });
    const times = [0.5, 1, 2];
    const near = { relative: 1e-7, absolute: 1e-7 };
    fit.at(times).slice(1).forEach((block, k) => {
      const right = causes[k]!.at(times);
      assertAllClose(block.probability, right.incidence, near);
      assertAllClose(block.standardError, right.standardError, near);
    });
  }));
});

Deno.test("stateOccupation() of two states is Kaplan-Meier and its restricted mean", () => {
  const { time, death } = course();
  const fit = stateOccupation(transitionRows({ time, death, stages: {} }));
  const km = kaplanMeier({ time, event: death });
  const times = [3, 9, 15];
  const alive = fit.at(times)[0]!;
  assertAllClose(alive.probability, km.at(times).survival);
  assertAllClose(alive.standardError, km.at(times).standardError);
  const mean = restrictedMeanSurvival({ time, event: death }, { horizon: 12 });
  assertClose(fit.expectedTime(12)[0]!.estimate, mean.estimate);
  assertClose(fit.expectedTime(12)[0]!.standardError, mean.standardError);
});

const courses = fc.array(
  fc.record({
    time: fc.integer({ min: 1, max: 16 }),
    death: fc.integer({ min: 0, max: 1 }),
    recurrence: fc.integer({ min: 0, max: 20 }),
    reoperation: fc.integer({ min: 0, max: 20 }),
  }),
  { minLength: 2, maxLength: 25, size: "max" },
).map((rows) => ({
  time: rows.map((r) => r.time),
  death: rows.map((r) => r.death),
  stages: {
    recurrence: rows.map((r) => r.recurrence <= r.time ? r.recurrence : Infinity),
    reoperation: rows.map((r) => r.reoperation <= r.time ? r.reoperation : Infinity),
  },
}));

Deno.test("stateOccupation() adds up to 1 at every time and to the horizon over time", () => {
  fc.assert(fc.property(courses, (data) => {
    const fit = stateOccupation(transitionRows(data));
    fit.time.forEach((_, j) => {
      const sum = fit.states.reduce((total, s) => total + s.probability[j]!, 0);
      assertClose(sum, 1, { relative: 0, absolute: 1e-12 });
    });
    const horizon = Math.max(...data.time);
    const time = fit.expectedTime(horizon);
    assertClose(time.reduce((sum, t) => sum + t.estimate, 0), horizon);
  }));
});

// Identity: errors are numerical derivatives in the subjects' weights.
Deno.test("stateOccupation() errors are those of the numerical derivative", () => {
  fc.assert(
    fc.property(courses, (data) => {
      const { row, ...rows } = transitionRows(data);
      const t = Math.max(...data.time) * 0.7;
      const values = (weights: number[]) => {
        const weight = Array.from(row, (i) => weights[i]!);
        const fit = stateOccupation({ ...rows, weight }, { states: rows.states });
        return [
          ...fit.at([t]).map((block) => block.probability[0]!),
          ...fit.expectedTime(t).map((e) => e.estimate),
        ];
      };
      const squares = new Float64Array(2 * rows.states.length);
      data.time.forEach((_, i) => {
        const moved = (h: number) => values(data.time.map((_, j) => j === i ? 1 + h : 1));
        const up = moved(1e-5);
        const down = moved(-1e-5);
        squares.forEach((_, k) => squares[k]! += ((up[k]! - down[k]!) / 2e-5) ** 2);
      });
      const fit = stateOccupation(rows, { states: rows.states });
      const ours = [
        ...fit.at([t]).map((block) => block.standardError[0]!),
        ...fit.expectedTime(t).map((e) => e.standardError),
      ];
      assertAllClose(ours, squares.map(Math.sqrt), { relative: 1e-5, absolute: 1e-6 });
    }),
    { numRuns: 40 },
  );
});

Deno.test("expectedTimeDifference() adds up to 0, and pairs that share a course cancel", () => {
  const { row, ...rows } = transitionRows(course());
  const n = rows.time.length;
  const twice = <T>(values: ArrayLike<T>) => [...Array.from(values), ...Array.from(values)];
  const cluster = twice(row);
  const data = {
    subject: [...row, ...Array.from(row, (i) => i + 100)],
    from: twice(rows.from),
    to: twice(rows.to),
    entry: twice(rows.entry),
    time: twice(rows.time),
    group: Array.from({ length: 2 * n }, (_, i) => i < n ? "repair" : "replacement"),
  };
  const apart = expectedTimeDifference(data, { horizon: 12 });
  const together = expectedTimeDifference({ ...data, cluster }, { horizon: 12 });
  const alone = stateOccupation(rows).expectedTime(12);
  apart.forEach((contrast, k) => {
    assertClose(contrast.groups[0]!.estimate, alone[k]!.estimate);
    assertClose(contrast.groups[1]!.standardError, alone[k]!.standardError);
    assertClose(contrast.difference.standardError, Math.SQRT2 * alone[k]!.standardError);
    assertClose(together[k]!.difference.standardError, 0, { relative: 0, absolute: 1e-12 });
  });
  // half of each: not the same course, so a difference that adds up to 0
  const halves = expectedTimeDifference(
    { ...rows, group: Array.from(row, (i) => i % 2) },
    { horizon: 12 },
  );
  const total = halves.reduce((sum, contrast) => sum + contrast.difference.estimate, 0);
  assertClose(total, 0, { relative: 0, absolute: 1e-12 });
});

Deno.test("transitionRows() follows a patient through the stages in order", () => {
  const rows = transitionRows({
    time: [5, 4, 6, 3, 3],
    death: [1, 0, 1, 1, 0],
    stages: {
      recurrence: [2, 0, 4, 3, 1],
      reoperation: [3, Infinity, 2, Infinity, 1],
    },
  });
  const shown = Array.from(
    rows.subject,
    (s, i) => `${s}: ${rows.from[i]} ${rows.entry[i]}-${rows.time[i]} ${rows.to[i]}`,
  );
  assert.deepEqual(shown, [
    "0: operated 0-2 recurrence",
    "0: recurrence 2-3 reoperation",
    "0: reoperation 3-5 dead",
    "1: recurrence 0-4 ", // there from the start
    "2: operated 0-2 reoperation", // a leak after the reoperation changes nothing
    "2: reoperation 2-6 dead",
    "3: operated 0-3 dead", // no time in recurrence
    "4: operated 0-1 reoperation", // both at once: the last listed
    "4: reoperation 1-3 ",
  ]);
  const late = { time: [2], death: [0], stages: { recurrence: [3] } };
  assert.throws(() => transitionRows(late), DataError);
  const none = { time: [0], death: [1], stages: {} };
  assert.throws(() => transitionRows(none), DataError);
});

Deno.test("stateOccupation() refuses rows that do not follow on", () => {
  const good = {
    subject: [1, 1],
    from: ["operated", "recurrence"],
    to: ["recurrence", ""],
    entry: [0, 2],
    time: [2, 5],
  };
  stateOccupation(good);
  const refuse = (change: object, argument: string) =>
    assert.throws(
      () => stateOccupation({ ...good, ...change }),
      (error) => error instanceof DataError && error.argument === argument,
    );
  refuse({ entry: [0, 3] }, "entry");
  refuse({ from: ["operated", "operated"] }, "from");
  refuse({ to: ["operated", ""] }, "to");
  refuse({ time: [2, NaN] }, "time");
  assert.throws(() => stateOccupation(good, { states: ["operated"] }), DataError);
  assert.throws(() => stateOccupation(good).expectedTime(9), DataError);
  // no time at all is no time in a state
  assert.throws(() => stateOccupation(good).expectedTime(0), DataError);
  assert.ok(Number.isNaN(stateOccupation(good).at([9])[0]!.probability[0]));
});
