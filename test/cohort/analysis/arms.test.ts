import { deepEqual, equal, ok, throws } from "node:assert/strict";
import { assertClose } from "../../close.ts";
import {
  armWarnings,
  echoSchedule,
  followUpCompleteness,
  missingness,
  readCohort,
  selectEligible,
  sideCounts,
  thresholdHolds,
  ventricleAfter,
} from "../../../lib/cohort/mod.ts";
import { openStudy } from "../../../lib/study/mod.ts";
import { analyse, replaced, type Row } from "../small-cohort.ts";

// All expectations by hand unless said otherwise. 1461 days are 4 years.

Deno.test("echoSchedule() counts visits to the valve of the operation, in its patient-years", async () => {
  const rows: Row[] = [
    { fu_days: 1461 },
    { fu_days: 2922, reint: 1, reint_day: 1461, reint_reason: "stenosis" },
    { fu_days: 1461 },
    { ...replaced, fu_days: 1461 },
  ];
  const visits: Row[] = [
    { id: "P0001", day: 0, mr: 0, reason: "scheduled" }, // the day of operation: not counted
    { id: "P0001", day: 731, mr: 0, reason: "scheduled" },
    { id: "P0002", day: 1461, mr: 1, reason: "symptoms" },
    { id: "P0002", day: 2000, mr: 0, reason: "scheduled" }, // another valve: not counted
    { id: "P0004", day: 365, mr: 0 },
  ];
  const [repair, replacement] = echoSchedule(await analyse(rows, visits));
  deepEqual(
    [repair?.patients, repair?.patientYears, repair?.visits, repair?.scheduled, repair?.symptoms],
    [3, 12, 2, 1, 1],
  );
  assertClose(repair?.per100PatientYears ?? NaN, 100 / 6);
  equal(repair?.neverSeen, 1);
  // since the last visit: 730 days, 0, and 4 years never seen
  assertClose(repair?.sinceLastVisit.median ?? NaN, 730 / 365.25);
  assertClose(repair?.sinceLastVisit.lower ?? NaN, 365 / 365.25);
  assertClose(repair?.sinceLastVisit.upper ?? NaN, (730 + 1461) / 2 / 365.25);
  equal(replacement?.reasonUnknown, 1);
  equal(replacement?.neverSeen, 0);
});

// Definition: Clark, Altman & De Stavola 2002; figures by hand.
Deno.test("followUpCompleteness() sets observed against possible person-time", async () => {
  const rows: Row[] = [
    { op_year: 2014, fu_days: 1461 }, // alive, 4 of the 10 years from 2014.5 to 2024.5
    { op_year: 2014, fu_days: 1461, dead: 1 }, // dead: all there was
    { ...replaced, op_year: 2022, fu_days: 800 }, // more than the middle of the year allows
  ];
  const [repair, replacement] = followUpCompleteness(await analyse(rows));
  deepEqual([repair?.observedYears, repair?.potentialYears, repair?.lostEarly], [8, 14, 1]);
  assertClose(repair?.completeness ?? NaN, 8 / 14);
  deepEqual([replacement?.completeness, replacement?.lostEarly], [1, 0]);
  // each patient in one of three
  const ends = [repair, replacement].map((row) => [row?.died, row?.followed, row?.lostEarly]);
  deepEqual(ends, [[1, 0, 1], [0, 1, 0]]);
});

Deno.test("missingness() counts a blank only where the column applies", async () => {
  const secondary = { aetiology: "ischaemic", leaflet: "", prior_mi: 1 };
  const rows: Row[] = [
    {}, // degenerative: no tethering to miss
    { ...secondary, tether: 8 },
    { ...secondary },
    { ...replaced, ...secondary, mr_exit: "" },
    { ...replaced, fu_days: 0, dead: 1, mr_exit: "" }, // died in theatre: no exit grade to miss
  ];
  const counts = new Map(missingness(await analyse(rows)).map((row) => [row.column, row]));
  deepEqual(counts.get("tether")?.repair, { applies: 2, missing: 1 });
  deepEqual(counts.get("tether")?.replacement, { applies: 1, missing: 1 });
  deepEqual(counts.get("leaflet")?.repair, { applies: 1, missing: 0 });
  deepEqual(counts.get("mr_exit")?.replacement, { applies: 1, missing: 1 });
  deepEqual(counts.get("ring_mm")?.repair, { applies: 3, missing: 0 });
  equal(counts.has("surgeon"), false);
});

Deno.test("armWarnings() says what differs between the groups, and nothing else", async () => {
  const visit = (id: string): Row[] => [{ id, day: 300, mr: 0 }, { id, day: 700, mr: 0 }];
  const alike: Row[] = [{}, replaced];
  deepEqual(armWarnings(await analyse(alike, [...visit("P0001"), ...visit("P0002")])), []);
  const unlike: Row[] = [{ fu_days: 4000 }, { ...replaced, fu_days: 2000, lvef: "" }];
  deepEqual(armWarnings(await analyse(unlike, visit("P0001"))), [
    "Follow-up is 91% complete after an intended repair and 46% after an intended replacement.",
    "Echo visits are made 18 times in 100 patient-years after an intended repair and 0 times after " +
    "an intended replacement.",
    // a group of one: a share would tell of that one
    "Ejection fraction is missing in few patients with an intended repair and in nearly all " +
    "patients with an intended replacement.",
  ]);
  // 12 of 40 against none of 40; 3 of 40 would be told by 8%
  const forty = (without: number): Row[] =>
    Array.from(
      { length: 80 },
      (_, i) => i < 40 ? {} : { ...replaced, lvef: i < 40 + without ? "" : 60 },
    );
  const missing = async (without: number) =>
    armWarnings(await analyse(forty(without), [])).filter((text) => text.includes("missing"));
  deepEqual(await missing(12), [
    "Ejection fraction is missing in 0% of patients with an intended repair and in 30% of patients " +
    "with an intended replacement.",
  ]);
  deepEqual(await missing(5), [
    "Ejection fraction is missing in 0% of patients with an intended repair and in few patients " +
    "with an intended replacement.",
  ]);
});

const marks = {
  thresholds: [
    ["ef", "lvef", "below", 64],
    ["esd", "lvesd", "at-least", 37],
  ].map(([id, column, side, value]) => ({
    id,
    column,
    side,
    value,
    label: id,
    purpose: "warning-mark",
    source: "Tribouilloy 2011",
  })),
};

Deno.test("ventricleAfter() takes the echo nearest one year, on the valve of the operation", async () => {
  const rows: Row[] = [
    { lvef: 66, lvesd: 36 }, // neither mark
    { lvef: 64, lvesd: 37 }, // one mark: 64 is not below 64, 37 is at least 37
    { lvef: 60, lvesd: 40 }, // both
    { lvef: 60, lvesd: "" }, // not known
    { ...replaced, lvef: 60, lvesd: 40 }, // no echo in the window
    { reint: 1, reint_day: 200, reint_reason: "stenosis" }, // the echo shows another valve
    { fu_days: 100, dead: 1 },
  ];
  const visits: Row[] = [
    { id: "P0001", day: 200, mr: 0, lvef: 40 },
    { id: "P0001", day: 360, mr: 0, lvef: 55 },
    { id: "P0001", day: 380, mr: 0, lvef: 45 },
    { id: "P0002", day: 365, mr: 0, lvef: "" },
    { id: "P0002", day: 500, mr: 0, lvef: 50 },
    { id: "P0003", day: 300, mr: 0, lvef: 49 },
    { id: "P0004", day: 300, mr: 0, lvef: 48 },
    { id: "P0005", day: 900, mr: 0, lvef: 30 },
    { id: "P0006", day: 365, mr: 0, lvef: 30 },
  ];
  const result = ventricleAfter(await analyse(rows, visits, marks));
  deepEqual([...result.rows], [0, 1, 2, 3]);
  deepEqual([...result.after], [55, 50, 49, 48]);
  deepEqual(result.notMeasured, { repair: 0, replacement: 1 });
  deepEqual(result.arms[0], { arm: "repair", n: 4, before: 62.5, after: 50.5, change: -12 });
  ok(Number.isNaN(result.arms[1]?.change));
  deepEqual(result.marks.slice(0, 3), [
    { arm: "repair", marks: "none", n: 1, low: 0 },
    { arm: "repair", marks: "one", n: 1, low: 0 },
    { arm: "repair", marks: "both", n: 1, low: 1 },
  ]);
  equal(result.marksUnknown, 1);
});

Deno.test("ventricleAfter() refuses a window that does not hold its middle", async () => {
  const analysis = await analyse([{}]);
  throws(() => ventricleAfter(analysis, { at: 1, window: [2, 3] }), { name: "DataError" });
});

Deno.test("thresholdHolds() is not known where the value is missing or does not apply", async () => {
  const secondary = { aetiology: "ischaemic", leaflet: "", prior_mi: 1 };
  const rows: Row[] = [
    { tether: 5 },
    { ...secondary, tether: 10 },
    { ...secondary, tether: 10.5 },
    { ...secondary },
  ];
  const analysis = await analyse(rows);
  const rule = { id: "t", column: "tether", value: 10, label: "t", purpose: "subgroup" as const };
  const source = "common practice, no source";
  const sides = { above: [0, 1], "at-least": [1, 1], below: [0, 0], "at-most": [1, 0] } as const;
  for (const side of ["above", "at-least", "below", "at-most"] as const) {
    const holds = thresholdHolds(analysis, { ...rule, side, source });
    deepEqual([...holds], [NaN, ...sides[side], NaN]);
  }
});

Deno.test("sideCounts() leaves out the larger side where few of a group lack the value", async () => {
  const secondary = { aetiology: "ischaemic", leaflet: "", prior_mi: 1 };
  const many = (n: number, row: Row): Row[] =>
    Array.from({ length: n }, () => ({ ...secondary, ...row }));
  const rule = { id: "t", column: "tether", value: 10, label: "t", purpose: "subgroup" as const };
  const line = { ...rule, side: "above" as const, source: "common practice, no source" };
  const counts = async (unknown: number) =>
    sideCounts(
      await analyse([
        ...many(15, { tether: 12 }),
        ...many(20, { tether: 5 }),
        ...many(unknown, {}),
      ]),
      line,
    );
  deepEqual(await counts(0), { inside: 15, outside: 20 });
  deepEqual(await counts(4), { inside: 15, outside: null });
  deepEqual(await counts(12), { inside: 15, outside: 20 });
});

// Identity: the groups' counts are the analysis, whatever is counted.
Deno.test("echoSchedule() and the others account for everybody in the demonstration", async () => {
  const study = await openStudy();
  const analysis = selectEligible(await readCohort(study), study);
  const { repair, replacement } = analysis.groups.counts;
  deepEqual(echoSchedule(analysis).map(({ patients }) => patients), [repair, replacement]);
  deepEqual(followUpCompleteness(analysis).map(({ patients }) => patients), [repair, replacement]);
  const age = missingness(analysis).find(({ column }) => column === "age");
  deepEqual([age?.repair.applies, age?.replacement.applies], [repair, replacement]);
  for (const row of echoSchedule(analysis)) {
    equal(row.scheduled + row.symptoms + row.reasonUnknown, row.visits);
  }
  const { rows, marks, marksUnknown } = ventricleAfter(analysis);
  equal(marks.reduce((sum, { n }) => sum + n, marksUnknown), rows.length);
});
