import { deepEqual, equal, ok } from "node:assert/strict";
import { examineCohort } from "../../lib/cohort/mod.ts";
import { csvOf, patientsOf, type Row, smallStudy } from "./small-cohort.ts";
import { examineRows, stopped } from "./reading.ts";

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
