import { deepEqual, equal, ok } from "node:assert/strict";
import { fileURLToPath } from "node:url";
import { parse } from "csv-parse/sync";
import { examineCohort, summariseProblems } from "../../lib/cohort/mod.ts";
import { profileColumns } from "../../lib/cohort/propose/column-profile.ts";
import { mappingFragment, proposalLines } from "../../lib/cohort/propose/cli.ts";
import { proposeMapping } from "../../lib/cohort/propose/propose-mapping.ts";
import { validationCsv } from "../../lib/report/validate/csv.ts";
import { validationHtml } from "../../lib/report/validate/html.ts";
import { validateStudy } from "../../lib/report/validate/validation.ts";
import { csvOf, patientsOf, type Row, smallPlan, smallStudy } from "../cohort/small-cohort.ts";

// What must not run, render, or leave its folder: common practice, and OWASP's lists for formulas.
const markup = [
  "<script>alert(1)</script>",
  "<img src=x onerror=alert(1)>",
  '"><svg onload=alert(1)>',
];
const formulas = ["=cmd|' /C calc'!A0", "@SUM(1+1)", "+1+1", '=HYPERLINK("//x","y")', "-2+3"];
const paths = ["../../../etc/passwd", "..\\..\\secret", "/etc/passwd", "file:///etc/passwd"];
const prototype = ["__proto__", "constructor", "prototype", "toString", "hasOwnProperty"];
const all = [...markup, ...formulas, ...paths, ...prototype, "x".repeat(20_000)];

/** The page and the CSV that `validate` writes for these tables. */
async function checked(patients: string, changes: Record<string, unknown> = {}) {
  const folder = await Deno.makeTempDir();
  try {
    await Deno.writeTextFile(`${folder}/study.json`, JSON.stringify({ ...smallPlan, ...changes }));
    await Deno.writeTextFile(`${folder}/patients.csv`, patients);
    await Deno.writeTextFile(`${folder}/visits.csv`, "id,day,mr\n");
    const validation = await validateStudy({ study: `${folder}/study.json` });
    const written = [...Deno.readDirSync(folder)].map(({ name }) => name).sort();
    deepEqual(written, ["patients.csv", "study.json", "visits.csv"]);
    return { validation, html: validationHtml(validation), csv: validationCsv(validation) };
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

function assertInert(html: string, csv: string): void {
  ok(!/<(script|img|svg)\b/i.test(html), "markup of the file's is in the page");
  const cells: string[][] = parse(csv);
  for (const cell of cells.flat()) ok(!/^\s*[=@+]|^-[^\d.]/.test(cell), `would run: ${cell}`);
}

Deno.test("validate shows nothing of a hostile cell, in whichever column", async () => {
  for (const column of ["id", "sex", "lvef", "fu_days", "approach", "convert_reason"]) {
    const rows = patientsOf(all.map((text): Row => ({ [column]: text })));
    const { html, csv, validation } = await checked(csvOf(rows));
    equal(validation.code, 2);
    assertInert(html, csv);
    ok(!html.includes("alert(1)") && !html.includes("passwd") && !html.includes("xxxxxxxxxx"));
    equal(validation.log[0]?.rowsRead, all.length);
  }
});

// By hand: two operations entered twice, each row told which line is its own twin.
Deno.test("validate lists each row with its own value and its own words", async () => {
  const rows = patientsOf([{ case_seq: 1 }, { case_seq: 2 }, { case_seq: 1 }, { case_seq: 2 }]);
  const { html, csv } = await checked(csvOf(rows));
  const records: Record<string, string>[] = parse(csv, { columns: true });
  deepEqual(records.map(({ Line, Value, Problem }) => [Line, Value, Problem]), [
    ["2", "1", "has the place in the series of line 4"],
    ["4", "1", "has the place in the series of line 2"],
    ["3", "2", "has the place in the series of line 5"],
    ["5", "2", "has the place in the series of line 3"],
  ]);
  ok(html.includes("line 5, row 4: 2, has the place in the series of line 3"));
});

Deno.test("validate takes a hostile heading for what it is: an unknown column", async () => {
  for (const heading of all) {
    const text = csvOf(
      patientsOf([{}]).map((row) =>
        Object.fromEntries([
          ...Object.entries(row),
          [`${heading} `, "1"],
        ])
      ),
    );
    const { html, csv, validation } = await checked(text);
    ok(validation.groups.some(({ rule }) => rule === "unknown-column"), heading.slice(0, 40));
    assertInert(html, csv);
  }
  equal(({} as Record<string, unknown>).polluted, undefined);
});

Deno.test("a study file may name hostile columns without effect", async () => {
  for (const heading of prototype) {
    const mapping = JSON.parse(`{"patients": {${JSON.stringify(heading)}: "lvef"}}`);
    const { html, csv } = await checked(csvOf(patientsOf([{}])), { mapping });
    assertInert(html, csv);
  }
  equal(Object.prototype.toString.call({}), "[object Object]");
  const { html, csv, validation } = await checked(csvOf(patientsOf([{}])), { title: markup[0] });
  equal(validation.code, 0);
  assertInert(html, csv);
});

Deno.test("a study file that names a file elsewhere learns nothing of what is in it", async () => {
  for (
    const cohort of ["../../../etc/passwd", "/etc/passwd", "/dev/zero", "/proc/self/environ", "."]
  ) {
    const study = smallStudy({ files: { ...smallPlan.files, cohort } }, "/study.json");
    const { problems } = await examineCohort(study);
    const said = summariseProblems(problems).map(({ where, what }) => `${where} ${what}`).join(
      "\n",
    );
    ok(problems.some(({ rule }) => rule === "file" || rule === "header"), said);
    ok(!/root|PATH|HOME|\/etc/.test(said), said);
  }
});

Deno.test("proposeMapping() prints no value that is not a common word", async () => {
  const folder = await Deno.makeTempDir();
  try {
    const rows = Array.from({ length: 30 }, (_, i) => ({
      "Surname": i % 2 ? "Archer" : "Bell",
      "Sex": i % 2 ? "Female" : "Archer",
      "Surgeon": "Dr Archer",
      "EDD (cm)": 5.5 + i / 100,
      "Died": i % 3 ? "N" : "Y",
      "Date of operation": "2014-03-02",
      "LVEF": i === 4 ? 999 : 55 + i % 5,
    }));
    await Deno.writeTextFile(`${folder}/x.csv`, csvOf(rows));
    const proposal = proposeMapping("patients", (await profileColumns(`${folder}/x.csv`)).columns);
    const said = proposalLines(proposal).join("\n") + JSON.stringify(mappingFragment(proposal));
    ok(!/archer|bell|2014/i.test(said), said);
    deepEqual(mappingFragment(proposal), {
      "EDD (cm)": { column: "lvedd", unit: "cm" },
      LVEF: { column: "lvef", missing: ["999"] },
      Sex: { column: "sex", codes: { Female: "F" } },
      Surgeon: "surgeon",
      Died: { column: "dead", codes: { N: 0, Y: 1 } },
    });
    ok(proposal.unmatched.some(({ heading }) => heading === "Surname"));
    ok(proposal.proposed.every(({ reasons, confidence }) => reasons.length > 0 && confidence <= 1));
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});

/** Runs the command as a user does; its exit code and all it prints. */
async function command(args: string[]): Promise<{ code: number; printed: string }> {
  const script = fileURLToPath(new URL("../../lib/report/validate/cli.ts", import.meta.url));
  const { code, stdout, stderr } = await new Deno.Command(Deno.execPath(), {
    args: ["run", "--allow-read", "--allow-write", script, ...args],
  }).output();
  const decoder = new TextDecoder();
  return { code, printed: decoder.decode(stdout) + decoder.decode(stderr) };
}

Deno.test("validate exits 0, 1 or 2, without a stack", async () => {
  const folder = await Deno.makeTempDir();
  try {
    await Deno.writeTextFile(`${folder}/study.json`, JSON.stringify(smallPlan));
    await Deno.writeTextFile(`${folder}/visits.csv`, "id,day,mr\n");
    const cases: [Row, number][] = [[{}, 0], [{ lvef: 80 }, 1], [{ lvef: 90 }, 2]];
    for (const [row, wanted] of cases) {
      await Deno.writeTextFile(`${folder}/patients.csv`, csvOf(patientsOf([row])));
      const { code, printed } = await command([
        "--study",
        `${folder}/study.json`,
        "--out",
        `${folder}/out`,
      ]);
      equal(code, wanted, printed);
    }
    const { code, printed } = await command(["--study", `${folder}/none.json`, "--out", folder]);
    equal(code, 2);
    ok(/no such file/.test(printed) && !/\n\s+at /.test(printed), printed);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
