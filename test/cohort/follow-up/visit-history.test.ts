import { deepEqual, equal } from "node:assert/strict";
import {
  earlyEvents,
  followUpOf,
  gradeHistory,
  recurrenceLookedFor,
  valveCourse,
  valveEvents,
  visitHistory,
} from "../../../lib/cohort/mod.ts";
import { analyse, replaced, type Row } from "../small-cohort.ts";

const inDays = (years: ArrayLike<number>) => Array.from(years, (y) => Math.round(y * 365.25));

// Six courses, by hand.
const rows: Row[] = [
  { mr_exit: 1, fu_days: 1000, stroke_30: 1 }, // 1: echoes at 40 (2+), 300 (symptoms, 3+)
  { reint: 1, reint_day: 500, reint_reason: "MR", fu_days: 900, stroke_30: 0 }, // 2: echoes 500, 700
  { fu_days: 0, dead: 1, mr_exit: "", death_cause: "unknown", stroke_30: "" }, // 3: died in theatre
  { mr_exit: "", fu_days: 800, stroke_30: 0 }, // 4: exit grade not recorded; an echo at 100
  { ...replaced, fu_days: 400, dead: 1, death_cause: "valve", stroke_30: 0 }, // 5: never seen
  { ...replaced, fu_days: 600, dead: 1, death_cause: "cardiac", stroke_30: 0, mr_exit: 0 }, // 6: 600
];
const visits: Row[] = [
  { id: "P0001", day: 0, mr: 1 },
  { id: "P0001", day: 40, mr: 2, reason: "scheduled" },
  { id: "P0001", day: 300, mr: 3, reason: "symptoms" },
  { id: "P0002", day: 500, mr: 4, reason: "symptoms" },
  { id: "P0002", day: 700, mr: 0, reason: "scheduled" },
  { id: "P0004", day: 100, mr: 2, reason: "scheduled" },
  { id: "P0006", day: 600, mr: 1, reason: "scheduled" },
];

Deno.test("visitHistory() turns visits into rows of time between looks (by hand)", async () => {
  const history = visitHistory(await analyse(rows, visits));
  deepEqual([...history.subject], [0, 0, 0, 1, 4, 5]);
  deepEqual(inDays(history.entry), [0, 40, 300, 0, 0, 0]);
  deepEqual(inDays(history.time), [40, 300, 1000, 500, 400, 600]);
  deepEqual([...history.visit], [1, 1, 0, 1, 0, 1]);
  deepEqual([...history.lastGrade], [1, 2, 3, 0, 0, 0]);
  deepEqual([...history.lastForSymptoms], [0, 0, 1, 0, 0, 0]);
  deepEqual([...history.forSymptoms], [0, 1, 0, 1, 0, 0]);
  deepEqual([...history.grade].map((g) => Number.isNaN(g) ? "" : g), [2, 3, "", 4, "", 1]);
  deepEqual([...history.treated], [1, 1, 1, 1, 0, 0]);
  equal(history.leftOut, 1);
});

Deno.test("gradeHistory() knows every grade of the operation's own valve (by hand)", async () => {
  const history = gradeHistory(await analyse(rows, visits));
  deepEqual(inDays(history.time), [1000, 500, 0, 800, 400, 600]);
  deepEqual([...history.event], [0, 2, 1, 0, 1, 1]);
  deepEqual([...history.visits.subject], [0, 0, 0, 1, 1, 3, 4, 5, 5]);
  deepEqual(inDays(history.visits.time), [0, 40, 300, 0, 500, 100, 0, 0, 600]);
  deepEqual([...history.visits.grade], [1, 2, 3, 0, 4, 2, 0, 0, 1]);
});

Deno.test("recurrenceLookedFor() follows patients past the finding (by hand)", async () => {
  const looked = recurrenceLookedFor(
    await analyse([...rows, { fu_days: 700, dead: 1, death_cause: "valve" }], [
      ...visits,
      { id: "P0007", day: 90, mr: 1 },
      { id: "P0007", day: 200, mr: 2 },
    ]),
  );
  deepEqual([...looked.rows], [0, 1, 2, 4, 5, 6]); // 4: exit grade not recorded
  deepEqual(inDays(looked.lastClear), [0, 0, 0, 0, 600, 90]);
  deepEqual([...looked.found].map((t) => t < Infinity ? Math.round(365.25 * t) : "never"), [
    40,
    500,
    "never",
    "never",
    "never",
    200,
  ]);
  deepEqual(inDays(looked.time), [1000, 500, 0, 400, 600, 700]);
  deepEqual([...looked.death], [0, 0, 1, 1, 1, 1]);
  equal(looked.leftOut, 1);
});

Deno.test("valveCourse() goes through the stages to the end, theatre deaths too (by hand)", async () => {
  const course = valveCourse(await analyse(rows, visits));
  deepEqual([...course.rows], [0, 1, 2, 4, 5]); // 4: exit grade not recorded
  equal(course.leftOut, 1);
  // the theatre death has half a day, which rounds to 1; patient 2 is followed past the reoperation
  deepEqual(inDays(course.time), [1000, 900, 1, 400, 600]);
  deepEqual([...course.death], [0, 0, 1, 1, 1]);
  const day = (t: number) => t < Infinity ? Math.round(365.25 * t) : "never";
  deepEqual([...course.stages.recurrence].map(day), [40, 500, "never", "never", "never"]);
  deepEqual([...course.stages.reoperation].map(day), ["never", 500, "never", "never", "never"]);
});

Deno.test("valveEvents() dates deaths by cause and reinterventions by reason (by hand)", async () => {
  const analysis = await analyse(rows, visits);
  const events = valveEvents(analysis);
  const counted = events.map(({ id, event }) => [id, event.reduce((sum, e) => sum + e, 0)]);
  deepEqual(counted, [
    ["death", 3],
    ["recurrence", 2],
    ["recurrence-severe", 2],
    ["reoperation", 1],
    ["valve-death", 1],
    ["reintervention-mr", 1],
    ["reintervention-stenosis", 0],
    ["reintervention-endocarditis", 0],
    ["reintervention-thrombosis", 0],
  ]);
  const [valveDeath] = events.filter(({ id }) => id === "valve-death");
  equal(valveDeath!.unknown, 1);
  deepEqual([...valveDeath!.cause], [0, 0, 2, 0, 1, 2]);
  const forStenosis = events.find(({ id }) => id === "reintervention-stenosis")!;
  // patient 2 had one for regurgitation; 3, 5 and 6 died
  deepEqual([...forStenosis.cause], [0, 2, 2, 0, 2, 2]);
  deepEqual([...forStenosis.rows], [0, 1, 2, 3, 4, 5]);
  deepEqual(inDays(valveDeath!.time), [1000, 900, 0, 800, 400, 600]);
  deepEqual(events[0]!.time, followUpOf(analysis, "death").time);
});

Deno.test("earlyEvents() counts complications where they are recorded (by hand)", async () => {
  const events = earlyEvents(await analyse(rows, visits));
  const stroke = events.find(({ id }) => id === "stroke-30")!;
  deepEqual(stroke.repair, { n: 3, events: 1 }); // patient 3 died in theatre, not recorded
  deepEqual(stroke.replacement, { n: 2, events: 0 });
  equal(stroke.unknown, 1);
});
