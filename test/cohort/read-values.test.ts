import { deepEqual, equal, ok } from "node:assert/strict";
import { numericColumn, summariseProblems } from "../../lib/cohort/mod.ts";
import { csvOf, patientsOf, readRows, replaced, type Row } from "./small-cohort.ts";
import { stopped, twenty } from "./reading.ts";

/** Errors and warnings of one patient that differs from the unremarkable one. */
async function found(row: Row, visits: Row[] = []): Promise<string[]> {
  const { cohort } = await readRows([row], visits);
  return cohort.problems.map(({ severity, column, value, message }) =>
    `${severity}: ${column} ${value === null ? "" : value + " "}${message}`
  );
}

Deno.test("readCohort() stops at a patient who is there twice, and at another file's visits", async () => {
  const rows = patientsOf([{}, {}, { id: "P0001" }]);
  deepEqual(await stopped(csvOf(rows), "id,day,mr\nP0009,30,0\n"), [
    "patients.csv, id: 1 row, line 4: has the pseudonym of line 2; keep one row a patient; which " +
    "one is for somebody who knows the patient",
    "visits.csv, id: 1 of 1 visits are of nobody in the patients table; the two files do not go " +
    "together: give both the same pseudonyms",
  ]);
});

Deno.test("readCohort() drops a visit of nobody, or without a pseudonym, and counts both", async () => {
  const visit = { id: "P0001", day: 30, mr: 0 };
  const visits = [visit, { ...visit, day: 60 }, { ...visit, day: 90 }];
  const strangers = [{ ...visit, id: "P0099" }, { ...visit, id: "" }];
  const { cohort } = await readRows([{}], [...visits, ...strangers]);
  equal(cohort.visits.count, 3);
  const log = cohort.log[1];
  deepEqual([log?.rowsRead, log?.rowsKept, log?.rowsSetAside], [5, 3, 2]);
  deepEqual(cohort.problems.map(({ rule, costs, line }) => [rule, costs, line]), [
    ["required-value", "visit", 6],
    ["unknown-patient", "visit", 5],
  ]);
  deepEqual([...cohort.invalid], [0]);
});

Deno.test("readCohort() stops at another unit, and converts nothing", async () => {
  // Rule 12 of the dictionary: medians that no cohort has in the right unit.
  const wrong = { lvedd: 5.5, lvesd: 3.5, lvef: 0.6, eroa: 40 };
  deepEqual((await stopped(csvOf(patientsOf(twenty(wrong))))).map((line) => line.split(";")[0]), [
    "patients.csv, lvef: its median of 0.6 says fractions",
    "patients.csv, lvedd: its median of 5.5 says centimetres",
    "patients.csv, lvesd: its median of 3.5 says centimetres",
    "patients.csv, eroa: its median of 40 says square millimetres",
  ]);
});

// By hand: 60 months in place of 1826 days, of 12 years that there were.
Deno.test("readCohort() warns where follow-up looks like another unit of time, and takes no harm from a short study", async () => {
  const months = Array.from({ length: 20 }, () => ({ fu_days: 60 }));
  const { cohort } = await readRows(months);
  deepEqual(cohort.problems.map(({ rule, severity }) => [rule, severity]), [
    ["unit-of-time", "warning"],
  ]);
  const { cohort: days } = await readRows(twenty({}));
  deepEqual(days.problems, []);
  const { cohort: recent } = await readRows(twenty({ op_year: 2024, fu_days: 60 }));
  deepEqual(recent.problems, []);
});

// By hand: the year's first day and 12.5 years after it.
Deno.test("readCohort() sets aside a follow-up that ends after the study closed", async () => {
  deepEqual(await found({ op_year: 2012, fu_days: 4566 }), []);
  deepEqual(await found({ op_year: 2012, fu_days: 4570 }), [
    "error: fu_days 4570; op_year 2012 ends after 2024.5, when the study closed",
  ]);
});

Deno.test("readCohort() stops at tethering in centimetres and regurgitant fractions below 1", async () => {
  deepEqual(await stopped(csvOf(patientsOf(twenty({ tether: 1.1, rf: 0.5 })))), [
    "patients.csv, tether: its median of 1.1 says centimetres; give it in millimetres; nothing is converted by guess",
    "patients.csv, rf: its median of 0.5 says fractions; give it in percent; nothing is converted by guess",
  ]);
});

Deno.test("readCohort() lists a value that is impossible, and sets its row aside", async () => {
  const cases: [Row, string[]][] = [
    [{ lvef: 90 }, ["error: lvef 90 not between 5 and 85 %"]],
    [{ nyha: 5 }, ["error: nyha 5 not between 1 and 4"]],
    [{ mr_pre: 2.5 }, ["error: mr_pre 2.5 not a whole number"]],
    [{ lvef: "5O" }, ["error: lvef is not a number"]],
    [{ lvef: "0x10" }, ["error: lvef is not a number"]],
    [{ sex: "f" }, ["error: sex f is not one of F, M, unknown"]],
    [{ fu_days: "" }, ["error: fu_days is blank"]],
    [{ op_year: 2025 }, ["error: op_year 2025 is after 2024.5, when the study closed"]],
    [{ clamp: 90, cpb: 80 }, ["error: clamp 90; cpb 80 is longer than the bypass time"]],
    [{ lvesd: 55 }, ["error: lvesd 55; lvedd 55 is not below the end-diastolic diameter"]],
    [
      { ...replaced, ring_type: "rigid", ring_mm: 30 },
      [
        "error: ring_mm 30; final replacement is filled although final is not repair",
        "error: ring_type rigid; final replacement is filled although final is not repair",
      ],
    ],
    [{ ring_type: "none" }, [
      "error: ring_mm 30; ring_type none is filled although there is no ring",
    ]],
    [{ prosthesis: "mechanical" }, [
      "error: prosthesis mechanical; final repair is filled although final is not replacement",
    ]],
    [
      { convert_reason: "exposure" },
      ["error: convert_reason exposure; intended repair; final repair is filled although intended and final procedure are the same"],
    ],
    [{ los: 40, fu_days: 30 }, ["error: los 40; fu_days 30 is longer than the follow-up"]],
    [{ fu_days: 0 }, ["error: fu_days 0; dead 0 is 0 although the patient did not die in theatre"]],
    [{ death_cause: "valve" }, [
      "error: death_cause valve; dead 0 is filled although dead is not 1",
    ]],
    [
      { reint: 1, reint_day: 2000, reint_reason: "MR" },
      ["error: reint_day 2000; fu_days 1826 is after the end of follow-up"],
    ],
  ];
  for (const [row, expected] of cases) {
    deepEqual(await found(row), expected);
    const { invalid, log, problems } = (await readRows([row])).cohort;
    // only what identity, group or follow-up rests on costs the patient; else a cell is missing
    const keys = ["op_year", "intended", "final", "fu_days", "dead", "reint", "reint_day"];
    const costly = problems.filter(({ severity }) => severity === "error")
      .map(({ column }) => keys.includes(column ?? ""));
    equal(invalid[0], costly.includes(true) ? 1 : 0, String(expected));
    equal(log[0]!.cellsBlanked > 0, costly.includes(false), String(expected));
  }
});

Deno.test("readCohort() warns of what is improbable, and keeps the row", async () => {
  const cases: [Row, string][] = [
    [{ lvef: 80 }, "warning: lvef 80 above 75 %"],
    [
      { ...replaced, intended: "repair" },
      "warning: convert_reason intended repair; final replacement is blank although intended and final procedure differ",
    ],
    [
      { aetiology: "endocarditis", leaflet: "" },
      "warning: ie_active 0; aetiology endocarditis does not agree with the aetiology",
    ],
    [
      { tether: 12 },
      "warning: aetiology degenerative; tether 12; leaflet posterior is degenerative with tethering above 10 mm, or secondary with a prolapsing leaflet",
    ],
    [
      { aetiology: "ischaemic", leaflet: "", cad_vessels: 0 },
      "warning: aetiology ischaemic; prior_mi 0; cad_vessels 0 is ischaemic without previous infarction or coronary disease",
    ],
    [
      { aetiology: "functional_nonischaemic", leaflet: "", ipmd: 20 },
      "warning: ipmd_phase ipmd 20 is blank although the interpapillary distance is given",
    ],
  ];
  for (const [row, expected] of cases) {
    deepEqual(await found(row), [expected]);
    equal((await readRows([row])).cohort.invalid[0], 0);
  }
});

Deno.test("readCohort() sets aside both rows of an operation entered twice", async () => {
  const { cohort } = await readRows([{ case_seq: 7 }, { case_seq: 7 }, { case_seq: 8 }]);
  deepEqual([...cohort.invalid], [1, 1, 0]);
  deepEqual(cohort.log[0]?.rowsSetAside, 2);
});

Deno.test("readCohort() warns of a series whose order contradicts the years", async () => {
  const { cohort } = await readRows([{ op_year: 2015 }, { op_year: 2012 }]);
  deepEqual(summariseProblems(cohort.problems), [{
    where: "patients, case_seq",
    what: "falls between 2012 and 2015; check case_seq and op_year: learning curves need the " +
      "order of operations",
  }]);
});

Deno.test("readCohort() drops a visit without a valid day or grade, and keeps the patient", async () => {
  const cases: [Row[], string][] = [
    [[{ id: "P0001", day: 30, mr: 5 }], "error: mr 5 not between 0 and 4 grade"],
    [[{ id: "P0001", day: 30, mr: "" }], "error: mr is blank"],
    [
      [{ id: "P0001", day: 1900, mr: 0 }],
      "error: day 1900; fu_days 1826 is after the end of the patient's follow-up",
    ],
    [
      [{ id: "P0001", day: 30, mr: 0 }, { id: "P0001", day: 30, mr: 1 }],
      "error: day 30 is the day of another visit of the patient",
    ],
  ];
  for (const [visits, expected] of cases) {
    deepEqual(await found({}, visits), [expected]);
    const { cohort } = await readRows([{}], visits);
    deepEqual([...cohort.invalid], [0]);
    equal(cohort.visits.count, visits.length - 1);
    equal(cohort.log[1]?.rowsSetAside, 1);
  }
});

Deno.test("readCohort() keeps the sound one of two visits of a day, whichever comes first", async () => {
  const bad = { id: "P0001", day: 30, mr: 9 };
  const good = { id: "P0001", day: 30, mr: 1 };
  for (const visits of [[bad, good], [good, bad]]) {
    const { cohort } = await readRows([{}], visits);
    deepEqual([...cohort.visits.mr], [1]);
    equal(cohort.problems.filter(({ severity }) => severity === "error").length, 1);
  }
});

Deno.test("readCohort() does not use an impossible measurement of a visit, but keeps the visit", async () => {
  const { cohort } = await readRows([{}], [{ id: "P0001", day: 30, mr: 1, lvef: 95 }]);
  ok(Number.isNaN(numericColumn(cohort.visits, "lvef")[0]));
  equal(cohort.log[1]?.cellsBlanked, 1);
  equal(cohort.log[1]?.rowsKept, 1);
  equal(cohort.problems[0]?.costs, "cell");
});
