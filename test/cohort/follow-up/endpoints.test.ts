import { deepEqual, equal, throws } from "node:assert/strict";
import {
  followUpOf,
  readCohort,
  recurrenceIntervals,
  selectEligible,
} from "../../../lib/cohort/mod.ts";
import { openStudy } from "../../../lib/study/mod.ts";
import { analyse, replaced, type Row } from "../small-cohort.ts";
import fc from "fast-check";

const days = (years: ArrayLike<number>) =>
  Array.from(years, (y) => Math.round(y * 365.25 * 1e6) / 1e6);

// Ten courses, by hand. Visits: P0001 clear, then moderate at 400 (found), then clear again.
const rows: Row[] = [
  {}, // 1: recurrence found at 400
  { fu_days: 900, dead: 1, death_cause: "cardiac" }, // 2: clear at 300, dead at 900
  { mr_exit: 2 }, // 3: residual
  { reint: 1, reint_day: 700, reint_reason: "MR" }, // 4: clear at 300, reintervention for it at 700
  { reint: 1, reint_day: 500, reint_reason: "stenosis" }, // 5: other reason; the echo after is not read
  { fu_days: 0, dead: 1, mr_exit: "", death_cause: "cardiac" }, // 6: death in theatre
  { mr_exit: "" }, // 7: exit grade missing
  { ...replaced, fu_days: 1000 }, // 8: never seen; the echo of day 0 is the exit study
  { reint: 1, reint_day: 365, reint_reason: "endocarditis" }, // 9: severe at the echo of that day
  { reint: 1, reint_day: 600, reint_reason: "" }, // 10: reason missing
];
const visits: Row[] = [
  { id: "P0001", day: 40, mr: 1 },
  { id: "P0001", day: 400, mr: 2 },
  { id: "P0001", day: 800, mr: 0 },
  { id: "P0002", day: 300, mr: 0 },
  { id: "P0004", day: 300, mr: 1 },
  { id: "P0005", day: 900, mr: 3 },
  { id: "P0008", day: 0, mr: 2 },
  { id: "P0009", day: 100, mr: 1 },
  { id: "P0009", day: 365, mr: 3 },
];

Deno.test("followUpOf() follows ten valves as worked by hand", async () => {
  const analysis = await analyse(rows, visits);
  const recurrence = followUpOf(analysis, "recurrence");
  deepEqual([...recurrence.rows], [0, 1, 3, 4, 5, 7, 8]);
  deepEqual(days(recurrence.time), [400, 900, 700, 500, 0, 1000, 365]);
  deepEqual([...recurrence.event], [1, 2, 1, 3, 2, 0, 1]);
  deepEqual([...recurrence.treated], [1, 1, 1, 1, 1, 0, 1]);
  deepEqual(recurrence.causes, ["recurrence found", "death", "reintervention for another reason"]);
  deepEqual(recurrence.leftOut.map(({ n, reason }) => [n, reason]), [
    [1, "moderate or worse regurgitation on leaving theatre (residual, not recurrent)"],
    [1, "regurgitation on leaving theatre not recorded"],
    [1, "reason for the reintervention not recorded"],
  ]);
});

// By hand, of the ten courses: a leak on leaving theatre fails at once, and
// any reintervention counts.
Deno.test("followUpOf() follows valve failure from the day of operation", async () => {
  const failure = followUpOf(await analyse(rows, visits), "valve-failure");
  deepEqual([...failure.rows], [0, 1, 2, 3, 4, 5, 7, 8, 9]);
  deepEqual(days(failure.time), [400, 900, 0, 700, 500, 0, 1000, 365, 600]);
  deepEqual([...failure.event], [1, 2, 1, 1, 1, 2, 0, 1, 1]);
  deepEqual(failure.leftOut.map(({ n, reason }) => [n, reason]), [
    [1, "regurgitation on leaving theatre not recorded"],
  ]);
});

Deno.test("followUpOf() counts only grade 3 and worse as severe recurrence", async () => {
  const severe = followUpOf(await analyse(rows, visits), "recurrence-severe");
  deepEqual([...severe.rows], [0, 1, 3, 4, 5, 7, 8]);
  deepEqual(days(severe.time), [1826, 900, 700, 500, 0, 1000, 365]);
  deepEqual([...severe.event], [0, 2, 1, 3, 2, 0, 1]);
});

Deno.test("followUpOf() has everybody at risk of death, and time 0 in theatre", async () => {
  const death = followUpOf(await analyse(rows, visits), "death");
  equal(death.rows.length, 10);
  deepEqual(days(death.time), [1826, 900, 1826, 1826, 1826, 0, 1826, 1000, 1826, 1826]);
  deepEqual([...death.event], [0, 1, 0, 0, 0, 1, 0, 0, 0, 0]);
});

Deno.test("followUpOf() has death competing with reoperation, which comes first on one day", async () => {
  const same = { reint: 1, reint_day: 900, reint_reason: "MR", fu_days: 900, dead: 1 };
  const analysis = await analyse([...rows, same, { reint: "" }], visits);
  const reoperation = followUpOf(analysis, "reoperation");
  deepEqual([...reoperation.rows], [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
  deepEqual([...reoperation.event], [0, 2, 0, 1, 1, 2, 0, 0, 1, 1, 1]);
  deepEqual(days(reoperation.time).slice(3, 6), [700, 500, 0]);
  deepEqual(reoperation.leftOut, [{
    reason: "not recorded whether there was a reintervention",
    n: 1,
    repair: 1,
    replacement: 0,
  }]);
});

Deno.test("followUpOf() censors at another reintervention where the plan has only death compete", async () => {
  const analysis = await analyse(rows, visits, {
    endpoints: [{ id: "recurrence", label: "Recurrence", competing: ["death"] }],
  });
  const recurrence = followUpOf(analysis, "recurrence");
  deepEqual([...recurrence.event], [1, 2, 1, 0, 2, 0, 1]);
  deepEqual(recurrence.causes, ["recurrence found", "death"]);
});

Deno.test("followUpOf() leaves out a reintervention without a day", async () => {
  const analysis = await analyse([{ reint: 1, reint_reason: "MR" }]);
  for (const endpoint of ["recurrence", "reoperation"] as const) {
    const followUp = followUpOf(analysis, endpoint);
    equal(followUp.rows.length, 0);
    deepEqual(followUp.leftOut.map(({ reason }) => reason), [
      "day of the reintervention not recorded",
    ]);
  }
});

Deno.test("followUpOf() refuses an endpoint there is not", async () => {
  const analysis = await analyse([{}]);
  throws(() => followUpOf(analysis, "relapse"), {
    name: "DataError",
    message:
      'endpoint must be one of "death", "valve-failure", "recurrence", "recurrence-severe", "reoperation", got "relapse"',
  });
});

Deno.test("recurrenceIntervals() brackets the onset between the last clear echo and the first bad", async () => {
  const intervals = recurrenceIntervals(await analyse(rows, visits));
  deepEqual([...intervals.rows], [0, 1, 3, 4, 5, 7, 8]);
  deepEqual(days(intervals.lower), [40, 300, 300, 0, 0, 0, 100]);
  deepEqual(days(intervals.upper), [400, Infinity, 700, Infinity, Infinity, Infinity, 365]);
  deepEqual(days(intervals.death), [NaN, 900, NaN, NaN, 0, NaN, NaN]);
  deepEqual(days(intervals.end), [400, 900, 700, 500, 0, 1000, 365]);
});

// Identity: whoever has a recurrence found has a bracket that ends on that day, and nobody else.
Deno.test("recurrenceIntervals() agrees with followUpOf() on the demonstration cohort", async () => {
  const study = await openStudy();
  const analysis = selectEligible(await readCohort(study), study);
  for (const grade of [2, 3] as const) {
    const found = followUpOf(analysis, grade === 2 ? "recurrence" : "recurrence-severe");
    const { rows, lower, upper, end, death } = recurrenceIntervals(analysis, { grade });
    deepEqual(rows, found.rows);
    rows.forEach((_, i) => {
      equal(upper[i] === found.time[i], found.event[i] === 1);
      equal(end[i], found.time[i]);
      equal(death[i] === found.time[i], found.event[i] === 2);
      equal((lower[i] ?? NaN) <= (end[i] ?? NaN) && (lower[i] ?? NaN) < (upper[i] ?? NaN), true);
    });
  }
});

// Property: at each endpoint, everybody is at risk or left out with a reason, and times are within
// follow-up.
Deno.test("followUpOf() accounts for everybody whatever the courses", async () => {
  const day = fc.integer({ min: 1, max: 1000 });
  const patient = fc.record({
    fu_days: fc.constant(1000),
    dead: fc.constantFrom(0, 1),
    mr_exit: fc.constantFrom<(number | string)[]>(0, 1, 2, ""),
    reint: fc.constantFrom<(number | string)[]>(0, 0, 1, ""),
    visits: fc.uniqueArray(fc.record({ day, mr: fc.integer({ min: 0, max: 4 }) }), {
      selector: (visit) => visit.day,
      maxLength: 4,
    }),
    reint_day: day,
    reint_reason: fc.constantFrom("MR", "other", ""),
  });
  await fc.assert(
    fc.asyncProperty(fc.array(patient, { minLength: 1, maxLength: 8 }), async (drawn) => {
      const patients: Row[] = drawn.map(({ visits: _, reint_day, reint_reason, ...row }) =>
        row.reint === 1 ? { ...row, reint_day, reint_reason } : row
      );
      const echoes: Row[] = drawn.flatMap(({ visits }, i) =>
        visits.map((visit) => ({ id: `P000${i + 1}`, ...visit }))
      );
      const analysis = await analyse(patients, echoes);
      equal(analysis.n, drawn.length);
      for (const id of ["death", "recurrence", "recurrence-severe", "reoperation"] as const) {
        const { rows, time, event, causes, leftOut } = followUpOf(analysis, id);
        equal(rows.length + leftOut.reduce((sum, { n }) => sum + n, 0), analysis.n);
        rows.forEach((row, i) => {
          equal((time[i] ?? NaN) > 0 && (time[i] ?? NaN) <= 1000 / 365.25, true);
          equal((event[i] ?? NaN) <= causes.length, true);
          const early = drawn[row]?.visits.some(({ day, mr }) =>
            mr >= 2 && day / 365.25 < (time[i] ?? NaN)
          );
          if (id === "recurrence") equal(early, false);
        });
      }
    }),
    { numRuns: 60, seed: 20240611 },
  );
});
