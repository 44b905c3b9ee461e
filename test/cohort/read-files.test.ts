import { deepEqual, equal, ok, rejects } from "node:assert/strict";
import { numericColumn, readCohort, textColumn } from "../../lib/cohort/mod.ts";
import { openStudy, ProblemsError } from "../../lib/study/mod.ts";
import { csvOf, patientsOf, readRows, readText, replaced } from "./small-cohort.ts";
import fc from "fast-check";
import { examineRows, noVisits, stopped, twenty } from "./reading.ts";

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
    'patients.csv: line 1: column "ef" is not in the dictionary; leave it out with ' +
    '"ignore" in the study file\'s mapping, map it to a column of the dictionary there, or ' +
    'declare it among the study file\'s own "columns"',
    "patients.csv, lvesd: line 1: the column is there twice; keep one of them",
    'patients.csv: line 1: column "surname" is not in the dictionary; leave it out with ' +
    '"ignore" in the study file\'s mapping, map it to a column of the dictionary there, or ' +
    'declare it among the study file\'s own "columns"',
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

Deno.test("readCohort() groups what is wrong with many rows, and counts them", async () => {
  const rows = patientsOf(twenty({ fu_days: "02/03/2014" }));
  deepEqual(await stopped(csvOf(rows)), [
    "patients.csv, fu_days: 20 rows, first on line 2: looks like a date; replace dates by days " +
    "from the operation; keep the year of operation only",
  ]);
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
