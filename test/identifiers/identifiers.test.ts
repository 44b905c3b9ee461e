import { parse } from "csv-parse/sync";
import { dictionaryColumn } from "../../lib/cohort/dictionary/dictionary.ts";
import { identifierOfHeading, isOperationDate } from "../../lib/cohort/identifiers/headings.ts";
import { identifierMessage } from "../../lib/cohort/identifiers/findings.ts";
import { identifierOfNumeral, identifierOfValue } from "../../lib/cohort/identifiers/values.ts";
import { numericColumn } from "../../lib/cohort/mod.ts";
import { csvOf, patientsOf, readText } from "../cohort/small-cohort.ts";
import fc from "fast-check";
import assert from "node:assert/strict";
import { expectedOf, files, scan } from "./scanned.ts";

Deno.test("identifierScan() counts every planted cell", () => {
  for (const { kind, how, header, rows, position, values } of files) {
    if (how === "cells") continue;
    const cells = scan(header, rows).filter((finding) => finding.position === position)
      .reduce((sum, finding) => sum + finding.cells, 0);
    // one value may be written twice over another in the column of ages
    assert.ok(kind === "age" ? cells >= 1 : cells >= 0.9 * values.length, `${kind}: ${cells}`);
  }
});

// By hand: one age over 90 in twelve, under headings that other centres write.
Deno.test("identifierScan() knows ages by their headings in six languages, with words or without", () => {
  const ages = ["61", "62", "63", "64", "65", "66", "67", "68", "69", "70", "90"];
  const headings = ["Age", "PatientAge", "age_at_op", "AgeAtOp", "Alter", "Alter bei OP", "Âge"]
    .concat("edad", "Età", "leeftijd", "Ages");
  for (const heading of headings) {
    for (const old of ["91", "95.5", "95,5", "104", "93 years", "94y", "95 J."]) {
      const found = scan([heading], [...ages, old].map((age) => [age]));
      assert.deepEqual(found.map(({ kind, cells, line }) => [kind, cells, line]), [["age", 1, 13]]);
    }
    assert.deepEqual(scan([heading], ages.map((age) => [age])), []);
  }
  for (const heading of ["Average", "Stage", "Age in months", "Alter (Tage)", "Dosage"]) {
    assert.deepEqual(scan([heading], [["95"], ["120"]]), []);
  }
});

Deno.test("identifierScan() raises no alarm on the demonstration files", () => {
  let cells = 0;
  for (const [name, table] of [["patients", "patients"], ["echo-visits", "visits"]] as const) {
    const text = Deno.readTextFileSync(
      new URL(`../../data-demo/${name}.csv`, import.meta.url),
    );
    const [header = [], ...rows]: string[][] = parse(text);
    cells += header.length * rows.length;
    assert.deepEqual(scan(header, rows, expectedOf(header, table)), []);
    // where nothing is known of the columns, pseudonyms are suspected and nothing else
    const unknown = scan(header, rows, []).map(({ column, kind }) => `${column}: ${kind}`);
    assert.deepEqual(unknown.filter((line) => line !== "id: unique-code"), []);
  }
  console.log(`    false alarms on the clean demonstration files: 0 in ${cells} cells`);
});

Deno.test("identifierScan() never repeats a value, nor a heading that could be one", () => {
  for (const { header, rows, position, values } of files) {
    const said = JSON.stringify(
      scan(header, rows).map((finding) => [finding, identifierMessage(finding)]),
    );
    for (const value of values) {
      // ages and short words occur in counts and messages by themselves
      if (value.length > 4) assert.ok(!said.includes(value), `in ${header[position]}`);
    }
  }
  const [finding] = scan(["2014-03-02"], [["a@b.example"]], []);
  assert.equal(finding?.column, "column 1");
});

Deno.test("identifierScan() believes a study file's codes", () => {
  const column = dictionaryColumn("patients", "aetiology");
  assert.ok(column);
  const rows = [["Carpentier"], ["Barlow"], ["Carpentier"]];
  assert.equal(scan(["Cause"], rows, [{ column }])[0]?.kind, "name");
  assert.deepEqual(scan(["Cause"], rows, [{ column, values: ["Carpentier", "Barlow"] }]), []);
});

Deno.test("identifierScan() tells names and record numbers from pseudonyms", () => {
  const of = (ids: string[]) => scan(["id"], ids.map((id) => [id]))[0]?.kind;
  assert.equal(of(["Archer", "Bell", "Cho"]), "name");
  assert.equal(of(["4471823", "4471824", "9911823"]), "record-number");
  assert.equal(of(["P001", "P002", "P017"]), undefined);
  assert.equal(of(["1", "2", "1800"]), undefined);
  assert.equal(of(["gkkmwvk", "qnsjxxc", "bbvvwxz"]), undefined);
  assert.equal(
    of(["a3f09b2c11d4e5f60718293a4b5c6d7e", "b3f09b2c11d4e5f60718293a4b5c6d7f"]),
    undefined,
  );
  assert.equal(of(["P001", "P002", "Thornwick"]), "name");
  assert.equal(of(["P001", "123-45-6789"]), "social-security");
});

Deno.test("identifierScan() takes an unmapped column of five digits for a post code or a day", () => {
  const column = (cells: string[]) => scan(["x7"], cells.map((cell) => [cell]))[0]?.kind;
  // by hand: 41700 is 2 March 2014 as a spreadsheet counts days
  assert.equal(column(["41700", "41822", "39001", "40100", "42999"]), "date");
  assert.equal(column(["02139", "10001", "60614", "94110", "30301"]), "place");
  assert.equal(column(["12", "140", "33", "9", "1071"]), undefined);
});

Deno.test("identifierOfHeading() knows dates from durations, and clinical words from identifiers", () => {
  const clean = [
    "Days from operation to death",
    "Hospital stay (days)",
    "LVEDD",
    "Ring size",
    "Sex",
  ];
  for (
    const heading of [...clean, "Year of operation", "Age at surgery", "Implant", "NYHA class"]
  ) {
    assert.equal(identifierOfHeading(heading), null, heading);
  }
  // an invented list of what registries ask for
  const registry =
    "Patient code|Gender|BSA m2|EuroSCORE|LVEF %|PASP|MR grade 1 year|Tenting height|" +
    "Post-op EF|Post op gradient|Mobile vegetation|Serial creatinine|Lat diameter|Name of device|" +
    "Data source|Month of follow-up|Image quality|Number of grafts|Hospital stay|White cell count|" +
    "Diabetic retinopathy|Consecutive|Operator|Site|Follow up (years)|Time to death|Ring brand";
  for (const heading of registry.split("|")) {
    assert.equal(identifierOfHeading(heading), null, heading);
  }
  assert.equal(identifierOfHeading("DateOfSurgery"), "date");
  assert.equal(identifierOfHeading("Year of birth"), "date");
  assert.equal(identifierOfHeading("pat_nachname"), "name");
  assert.ok(isOperationDate("DateOfSurgery") && isOperationDate("op_date"));
  assert.ok(!isOperationDate("Date of reoperation") && !isOperationDate("Date of birth"));
});

Deno.test("identifierOfValue() leaves measurements and codes alone", () => {
  const clean = ["1.93", "12,5", "-9", "repair", "3+", "S1", "n/a", "I34.0", "NYHA III", "< 50 %"];
  for (const value of [...clean, "10/12", "0.5-1.0", "chordal_cutting;resection", "unknown"]) {
    assert.equal(identifierOfValue(value), null, value);
  }
  assert.equal(identifierOfNumeral("12345"), null);
});

// Property: a measurement as any centre writes it is no identifier.
Deno.test("identifierScan() never suspects numbers of up to four digits, with or without decimals", () => {
  const number = fc.tuple(
    fc.integer({ min: -9, max: 9999 }),
    fc.constantFrom("", ".", ","),
    fc.integer({ min: 0, max: 999 }),
  ).map(([whole, mark, part]) => mark ? `${whole}${mark}${part}` : String(whole));
  fc.assert(
    fc.property(fc.array(number, { minLength: 1, maxLength: 40 }), (cells) => {
      return scan(["x7"], cells.map((cell) => [cell])).length === 0;
    }),
    { seed: 3 },
  );
});

Deno.test("readCohort() lets dates through where the study file works out days from them", async () => {
  const [row] = patientsOf([{ op_date: "2012-03-02", seen: "2017-03-02", fu_days: "" }]);
  assert.ok(row);
  delete row.fu_days;
  delete row.op_year;
  const derived = [
    { rule: "days-between", column: "fu_days", from: "op_date", to: "seen" },
    { rule: "year-of", column: "op_year", date: "op_date" },
  ];
  const mapping = { derived: { patients: derived, visits: [] } };
  const { cohort } = await readText(csvOf([row]), "id,day,mr\nP0001,1,0\n", { mapping });
  // by hand: five years with one leap day (2016)
  assert.equal(numericColumn(cohort, "fu_days")[0], 1826);
  // a date elsewhere stops it as before
  const text = csvOf([{ ...row, died: "2018-01-01" }]);
  const ignoring = { ...mapping, patients: { died: { ignore: "not needed" } } };
  await assert.rejects(
    readText(text, "id,day,mr\nP0001,1,0\n", { mapping: ignoring }),
    /patients.csv, died: line 2: 1 cell that could be dates/,
  );
});
