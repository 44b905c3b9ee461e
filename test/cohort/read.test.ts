import { deepEqual, equal, ok, rejects } from "node:assert/strict";
import {
  type Examination,
  examineCohort,
  numericColumn,
  readCohort,
  summariseProblems,
  textColumn,
} from "../../lib/cohort/mod.ts";
import { openStudy, ProblemsError } from "../../lib/study/mod.ts";
import {
  csvOf,
  patientsOf,
  readRows,
  readText,
  replaced,
  type Row,
  smallStudy,
} from "./small-cohort.ts";
import fc from "fast-check";

// What each damage must say is by hand: the dictionary's ranges and rules, in our own words.
const noVisits = "id,day,mr\n";
const twenty = (row: Row) => Array.from({ length: 20 }, () => ({ ...row }));

/** The lines of the message with which reading stops. */
async function stopped(patients: string | Uint8Array, visits = noVisits, changes = {}) {
  let lines: string[] = [];
  await rejects(readText(patients, visits, changes), (error) => {
    ok(error instanceof ProblemsError, String(error));
    equal(error.name, "DataError");
    lines = error.problems.map(({ where, what }) => `${where}: ${what}`);
    return true;
  });
  return lines;
}

/** Everything found in rows of patients, where it stops a run and where it does not. */
async function examineRows(patients: Row[], visits: Row[] = []): Promise<Examination> {
  const folder = await Deno.makeTempDir();
  try {
    const study = smallStudy({}, `${folder}/study.json`);
    await Deno.writeTextFile(study.cohortPath, csvOf(patientsOf(patients)));
    await Deno.writeTextFile(study.visitsPath, csvOf(visits, ["id", "day", "mr"]));
    return await examineCohort(study);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

/** Errors and warnings of one patient that differs from the unremarkable one. */
async function found(row: Row, visits: Row[] = []): Promise<string[]> {
  const { cohort } = await readRows([row], visits);
  return cohort.problems.map(({ severity, column, value, message }) =>
    `${severity}: ${column} ${value === null ? "" : value + " "}${message}`
  );
}

Deno.test("readCohort() keeps every row of the demonstration cohort, and finds no error", async () => {
  const cohort = await readCohort(await openStudy());
  equal(cohort.n, cohort.log[0]?.rowsRead);
  equal(cohort.visits.count, cohort.log[1]?.rowsRead);
  deepEqual(cohort.problems.filter(({ severity }) => severity !== "warning"), []);
});

Deno.test("readCohort() reads numbers, codes and blanks, and never 0 for a blank", async () => {
  const { cohort } = await readRows([{ egfr: "" }, { egfr: 60 }, { sex: "" }, { lvef: "" }]);
  deepEqual([...numericColumn(cohort, "egfr")].slice(0, 2), [NaN, 60]);
  deepEqual(textColumn(cohort, "sex"), ["F", "F", "", "F"]);
  ok(Number.isNaN(numericColumn(cohort, "lvef")[3]));
  equal(cohort.log[0]?.blanks.lvef, 1);
  equal(cohort.log[0]?.blanks.egfr, 3);
  deepEqual(cohort.problems, []);
});

Deno.test("readCohort() sorts visits by patient and day, keeping their other columns", async () => {
  const { cohort } = await readRows([{}, {}, {}], [
    { id: "P0003", day: 400, mr: 2, lvef: 55, reason: "symptoms" },
    { id: "P0001", day: 300, mr: 1, lvef: 50 },
    { id: "P0003", day: 30, mr: 0, lvef: 45, reason: "scheduled" },
  ]);
  deepEqual([...cohort.visits.offsets], [0, 1, 1, 3]);
  deepEqual([...cohort.visits.day], [300, 30, 400]);
  deepEqual([...cohort.visits.mr], [1, 0, 2]);
  deepEqual([...numericColumn(cohort.visits, "lvef")], [50, 45, 55]);
  deepEqual(textColumn(cohort.visits, "reason"), ["", "scheduled", "symptoms"]);
});

Deno.test("readCohort() renames columns by the mapping", async () => {
  const text = csvOf(patientsOf([{}])).replace("lvedd", "EDD (mm)");
  const { cohort } = await readText(text, noVisits, {
    mapping: { patients: { "EDD (mm)": "lvedd" } },
  });
  equal(numericColumn(cohort, "lvedd")[0], 55);
  deepEqual(
    await stopped(csvOf(patientsOf([{}])), noVisits, {
      mapping: { patients: { EDD: "lvedd" } },
    }),
    [
      'patients.csv, lvedd: line 1: the study file maps "EDD" to it, but the file has no such ' +
      "column; correct the mapping",
    ],
  );
});

Deno.test("readCohort() reads a byte-order mark, CRLF, quotes and embedded newlines", async () => {
  const text = "\uFEFF" + csvOf(patientsOf([{}, {}])).replaceAll("\n", "\r\n")
    .replace(",rigid,", ',"rigid",');
  const { cohort } = await readText(text, noVisits);
  equal(cohort.n, 2);
  deepEqual(cohort.problems, []);
});

Deno.test("readCohort() stops at an unknown, a missing and a repeated column, all at once", async () => {
  const rows = patientsOf([{ surname: "x" }]);
  const text = csvOf(rows).replace("lvedd", "lvesd").replace("lvef", "ef");
  deepEqual(await stopped(text), [
    'patients.csv: line 1: column "ef" is not in the dictionary; remove it, give it a ' +
    "dictionary name in the study file's mapping, or declare it among the study file's columns",
    "patients.csv, lvesd: line 1: the column is there twice; keep one of them",
    'patients.csv: line 1: column "surname" is not in the dictionary; remove it, give it a ' +
    "dictionary name in the study file's mapping, or declare it among the study file's columns",
    ...[
      "lvef: line 1: the column is missing (ejection fraction)",
      "lvedd: line 1: the column is " +
      "missing (left ventricular end-diastolic diameter)",
    ].map((line) =>
      `patients.csv, ${line}; add it, or map the column that holds it; its values may be blank ` +
      "unless they identify, group or time a patient"
    ),
    "patients.csv, surname: line 2: by its heading holds names (1 cell); remove names; give " +
    "patients random pseudonyms and surgeons codes such as S1",
  ]);
});

Deno.test("readCohort() stops at a conditional column that is missing and applies", async () => {
  const rows = patientsOf([{}, replaced, { ...replaced }]).map(({ prosthesis: _, ...row }) => row);
  deepEqual(await stopped(csvOf(rows)), [
    "patients.csv, prosthesis: the column is missing, and 2 patients have final replacement; " +
    "add it, or map the column that holds it; its values may be blank",
  ]);
  // applies to nobody: not missed
  const { cohort } = await readText(csvOf([rows[0] ?? {}]), noVisits);
  equal(cohort.n, 1);
});

Deno.test("readCohort() stops at a file that is empty, absent, not text or not CSV", async () => {
  const good = csvOf(patientsOf([{}]));
  const cases: [string | Uint8Array, string][] = [
    ["", "patients.csv: the file is empty; it must start with a line of column names"],
    [
      "Smith,1\n",
      "patients.csv: line 1: the first line holds no column name of the dictionary; the first " +
      "line must hold the column names; map those of another centre in the study file",
    ],
    [
      // a byte that Windows-1252 leaves undefined
      Uint8Array.of(...new TextEncoder().encode(good), 0x81, 10),
      "patients.csv: not text in UTF-8, UTF-16 or Windows-1252, nor an XLSX workbook; save the " +
      "table as CSV in UTF-8, or as XLSX",
    ],
    [
      good.replace(",rigid,", ',"rigid,'),
      "patients.csv: line 2: a quotation mark is opened and never closed; put values in " +
      "quotation marks whole, or not at all",
    ],
    [
      good.replace(",rigid,", ',ri"gid,'),
      "patients.csv: line 2: a quotation mark stands in the middle of a value; put values in " +
      "quotation marks whole, or not at all",
    ],
    [
      good.replace(",rigid,", ",rigid,,"),
      "patients.csv: 1 row, line 2: has 40 values where the header has 39; put values that " +
      "contain a comma in quotation marks",
    ],
  ];
  for (const [text, line] of cases) equal((await stopped(text))[0], line);
  const study = (await readRows([{}])).study;
  await rejects(readCohort(study), /patients.csv: no such file/);
});

Deno.test("readCohort() stops at identifiers, and never repeats them", async () => {
  const cases: [Row, string][] = [
    [{ surgeon: "Smithson" }, "surgeon: 1 row, line 2: is not a short code"],
    [
      { convert_reason: "Dr Smithson unhappy" },
      "convert_reason: 1 row, line 2: looks like free text",
    ],
    [{ sex: "a@smithson.org" }, "sex: 1 row, line 2: looks like free text"],
    [{ fu_days: "2014-03-02" }, "fu_days: 1 row, line 2: looks like a date"],
    [{ fu_days: "20140302" }, "fu_days: 1 row, line 2: looks like a date"],
    [{ urgency: "2 Mar 2014" }, "urgency: 1 row, line 2: looks like a date"],
    [{ id: "Smithson, John" }, "id: 1 row, line 2: is not a pseudonym of letters and digits"],
    [{ age: 97 }, "age: 1 row, line 2: above 90, which can identify a patient"],
    [{ id: "" }, "id: 1 row, line 2: is blank"],
  ];
  for (const [row, line] of cases) {
    const lines = await stopped(csvOf(patientsOf([row])));
    equal(lines.length, 1, lines.join("\n"));
    equal(lines[0]?.split(";")[0], `patients.csv, ${line}`);
    ok(!/smithson|2014|97/i.test(lines.join("")), lines.join("\n"));
  }
  const names = patientsOf([{ id: "Archer" }, { id: "Bell" }, { id: "Cho" }]);
  deepEqual((await stopped(csvOf(names))).map((line) => line.split(":")[1]), [
    " could be names",
  ]);
});

Deno.test("readCohort() groups what is wrong with many rows, and counts them", async () => {
  const rows = patientsOf(twenty({ fu_days: "02/03/2014" }));
  deepEqual(await stopped(csvOf(rows)), [
    "patients.csv, fu_days: 20 rows, first on line 2: looks like a date; replace dates by days " +
    "from the operation; keep the year of operation only",
  ]);
});

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

Deno.test("examineCohort() counts what each rule costs in patients, visits, cells and events", async () => {
  const dead = { dead: 1, death_cause: "cardiac", fu_days: 100 };
  const { costs } = await examineRows(
    [{}, { ...dead, op_year: 1980 }, { ...dead, op_year: "" }, { lvef: 99 }],
    [
      { id: "P0001", day: 30, mr: 0 },
      { id: "P0001", day: 60, mr: 7 },
      { id: "P0002", day: 30, mr: 3 },
      { id: "P0002", day: 50, mr: 1 },
      { id: "P0003", day: 30, mr: 1 },
      { id: "P0099", day: 30, mr: 2 },
      { id: "P0004", day: 30, mr: 0 },
    ],
  );
  deepEqual(
    costs.map(({ rule, column, patients, visits, cells, events }) => [
      `${rule} ${column}`,
      [patients, visits, cells, events],
    ]),
    [
      ["required-value op_year", [1, 1, 0, 1]],
      ["hard-range op_year", [1, 2, 0, 2]],
      ["hard-range lvef", [0, 0, 1, 0]],
      ["hard-range mr", [0, 1, 0, 1]],
      ["unknown-patient id", [0, 1, 0, 1]],
    ],
  );
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

Deno.test("examineCohort() shows no number that could be one of a person, in whichever column", async () => {
  // a record number, a month, a spreadsheet's day and a post code; by hand
  const numbers = ["471123", "4711234", "201403", "41703", "90210"];
  const columns = ["los", "fu_days", "reint_day", "op_year", "egfr", "cpb", "lvedd"];
  for (const column of columns) {
    for (const number of numbers) {
      const { problems } = await examineRows([{}, {}, { [column]: number }, {}]);
      ok(problems.some((problem) => problem.column === column));
      ok(!JSON.stringify(problems).includes(number), `${column} ${number}`);
    }
  }
  const { problems } = await examineRows([{ los: 9999 }]);
  equal(problems[0]?.value, "9999");
});

// By hand: words in one cell of a column hide no number of a person in another.
Deno.test("examineCohort() counts record numbers beside free text of the same column", async () => {
  const { problems } = await examineRows([{ cpb: "see the letter" }, { cpb: 555123 }, {}]);
  deepEqual(
    problems.filter(({ severity }) => severity === "structural").map(({ rule, line }) => [
      rule,
      line,
    ]),
    [["free-text", 2], ["identifier", 3]],
  );
});

// By hand: no visit can be linked to patients whose headings are not there.
Deno.test("examineCohort() says of a table without headings that alone", async () => {
  const folder = await Deno.makeTempDir();
  try {
    const study = smallStudy({}, `${folder}/study.json`);
    await Deno.writeTextFile(study.cohortPath, "Export of the registry,2024\nP0001,60\n");
    await Deno.writeTextFile(study.visitsPath, "id,day,mr\nP0001,30,1\n");
    const { problems } = await examineCohort(study);
    deepEqual(problems.map(({ rule, line }) => [rule, line]), [["header", 1]]);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
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

Deno.test("readCohort() does not use an impossible measurement of a visit, but keeps the visit", async () => {
  const { cohort } = await readRows([{}], [{ id: "P0001", day: 30, mr: 1, lvef: 95 }]);
  ok(Number.isNaN(numericColumn(cohort.visits, "lvef")[0]));
  equal(cohort.log[1]?.cellsBlanked, 1);
  equal(cohort.log[1]?.rowsKept, 1);
  equal(cohort.problems[0]?.costs, "cell");
});

Deno.test("readCohort() refuses a plan that adjusts for what came after the decision", async () => {
  const lines = await stopped(csvOf(patientsOf([{}])), noVisits, {
    adjustment: {
      covariates: [
        { column: "cpb", form: "linear" },
        { column: "intended", form: "category" },
        { column: "sex", form: "linear" },
        { column: "height", form: "linear" },
      ],
    },
    eligibility: [{ id: "dead", reason: "dead", column: "dead", exclude: { oneOf: [1] } }],
  });
  deepEqual(lines, [
    'eligibility[0].column: "dead" is known only after time zero: choosing patients by it biases ' +
    "survival",
    'adjustment.covariates[0].column: must be known before the operation; "cpb" is operative',
    'adjustment.covariates[1].column: must be known before the operation; "intended" is operative',
    'adjustment.covariates[2].form: "sex" has codes: use "category"',
    'adjustment.covariates[3].column: "height" is no column of the dictionary',
  ]);
});

Deno.test("readCohort() treats prototype keys as any other unknown column", async () => {
  const lines = await stopped(csvOf(patientsOf([{ ["constructor"]: 1 }])));
  ok(lines[0]?.includes('column "constructor" is not in the dictionary'));
  const text = csvOf(patientsOf([{}])).replace(/^id/, "__proto__,id").replace(/\nP/, "\n1,P");
  ok((await stopped(text))[0]?.includes('column "__proto__" is not in the dictionary'));
});

// Property: whatever is in the cells, each row is kept and counted once, or the file is refused.
Deno.test("readCohort() accounts for every row of damaged files", async () => {
  const cell = fc.oneof(
    fc.constantFrom("", "0", "1", "-9", "NA", "repair", "7.5", "1e3", "999999", "S1"),
    fc.integer({ min: -5, max: 120 }).map(String),
  );
  const damage = fc.record({
    lvef: cell,
    nyha: cell,
    fu_days: cell,
    reint: cell,
    urgency: fc.constantFrom("", "elective", "soon"),
  }, { requiredKeys: [] });
  await fc.assert(
    fc.asyncProperty(fc.array(damage, { minLength: 1, maxLength: 12 }), async (rows) => {
      try {
        const { cohort } = await readRows(rows);
        equal(cohort.n, rows.length);
        const log = cohort.log[0];
        equal((log?.rowsKept ?? 0) + (log?.rowsSetAside ?? 0), rows.length);
        const listed = new Set(
          cohort.problems.filter(({ costs }) => costs === "patient").map(({ row }) => row),
        );
        equal(listed.size, log?.rowsSetAside);
      } catch (error) {
        ok(error instanceof ProblemsError, String(error));
      }
    }),
    { numRuns: 60, seed: 20240611 },
  );
});
