import { deepEqual, equal, rejects } from "node:assert/strict";
import { numericColumn, readCohort, textColumn } from "../../../lib/cohort/mod.ts";
import { csvOf, patientsOf, readText, type Row, smallStudy } from "../small-cohort.ts";

// All expectations by hand.
const noVisits = "id,day,mr\n";

/** Reads rows in which columns have other names, by a mapping. */
async function mapped(rows: Row[], mapping: Record<string, unknown>, without: string[] = []) {
  const full = patientsOf(rows).map((row) =>
    Object.fromEntries(Object.entries(row).filter(([name]) => !without.includes(name)))
  );
  const { cohort } = await readText(csvOf(full), noVisits, { mapping });
  return cohort;
}

Deno.test("mapping converts units: centimetres, fractions, months, hours", async () => {
  const cohort = await mapped(
    [{ edd: 5.5, ef: 0.57, months: 60, hours: 1.5, los: 3 }, { edd: "", ef: "", months: 12 }],
    {
      patients: {
        edd: { column: "lvedd", unit: "cm" },
        ef: { column: "lvef", unit: "fraction" },
        months: { column: "fu_days", unit: "months" },
        hours: { column: "cpb", unit: "hours" },
      },
    },
    ["lvedd", "lvef", "fu_days"],
  );
  deepEqual([...numericColumn(cohort, "lvedd")], [55, NaN]);
  // 0.57 × 100 is 56.99999999999999 in doubles
  deepEqual([...numericColumn(cohort, "lvef")], [57, NaN]);
  // 60 × 365.25 / 12 = 1826.25, 12 months 365.25; whole days
  deepEqual([...numericColumn(cohort, "fu_days")], [1826, 365]);
  deepEqual([...numericColumn(cohort, "cpb")], [90, NaN]);
});

Deno.test("a word for a missing value never beats a code that the mapping or dictionary has", async () => {
  const cohort = await mapped(
    [{ dm: "unknown", cause: "unknown" }, { dm: "nk", cause: "NK" }, { dm: "1", sex: "unknown" }],
    {
      missing: ["unknown", "NK"],
      patients: {
        dm: { column: "diabetes", codes: { NK: 0 } },
        cause: { column: "aetiology", codes: { unknown: "other", NK: "rheumatic" } },
      },
    },
    ["diabetes", "aetiology"],
  );
  deepEqual([...numericColumn(cohort, "diabetes")], [NaN, 0, 1]);
  deepEqual(textColumn(cohort, "aetiology"), ["other", "rheumatic", ""]);
  deepEqual(textColumn(cohort, "sex"), ["F", "F", "unknown"]);
  // the same where a rule passes a column on
  const passed = await mapped(
    [{ dm: "unknown", cause: "unknown" }, { dm: "1", cause: "NK" }],
    {
      missing: ["unknown", "NK"],
      patients: { dm: "diabetes", cause: { ignore: "read by a rule" } },
      derived: {
        patients: [
          {
            rule: "first-of",
            column: "aetiology",
            sources: ["cause"],
            codes: { unknown: "other" },
          },
          { rule: "first-of", column: "sex", sources: ["cause"] },
        ],
        visits: [],
      },
    },
    ["diabetes", "aetiology", "sex"],
  );
  deepEqual(textColumn(passed, "aetiology"), ["other", ""]);
  deepEqual(textColumn(passed, "sex"), ["unknown", ""]);
});

Deno.test("mapping recodes, whatever the case, and counts codes for missing values", async () => {
  const cohort = await mapped(
    [{ dm: "Y", sex: "weiblich", lvef: -9 }, { dm: "no", sex: "M" }, { dm: "NK", sex: " m " }],
    {
      missing: ["NK"],
      patients: {
        dm: { column: "diabetes", codes: { y: 1, yes: 1, n: 0, no: 0 } },
        sex: { column: "sex", codes: { Weiblich: "F", m: "M" } },
        lvef: { column: "lvef", missing: [-9] },
      },
    },
    ["diabetes"],
  );
  deepEqual([...numericColumn(cohort, "diabetes")], [1, 0, NaN]);
  deepEqual(textColumn(cohort, "sex"), ["F", "M", "M"]);
  deepEqual([...numericColumn(cohort, "lvef")], [NaN, 60, 60]);
  deepEqual(cohort.log[0]?.missingCodes, { lvef: 1, diabetes: 1 });
  deepEqual([cohort.log[0]?.blanks.lvef, cohort.log[0]?.blanks.diabetes], [1, 1]);
});

Deno.test("mapping works intervals, years and places out of dates", async () => {
  const cohort = await mapped(
    [
      { operated: "02.03.2012", death: "", seen: "01.03.2013", born: "03.03.1950" },
      { operated: "29.02.2012", death: "01.03.2012", seen: "", born: "01.01.1910", dead: 1 },
    ],
    {
      derived: {
        patients: [
          {
            rule: "days-between",
            column: "fu_days",
            from: "operated",
            to: ["death", "seen"],
            order: "day-first",
          },
          {
            rule: "years-between",
            column: "age",
            from: "born",
            to: "operated",
            order: "day-first",
          },
          { rule: "year-of", column: "op_year", date: "operated", order: "day-first" },
          { rule: "place-by-date", column: "case_seq", date: "operated", order: "day-first" },
        ],
        visits: [],
      },
    },
    ["fu_days", "age", "op_year", "case_seq"],
  );
  deepEqual([...numericColumn(cohort, "fu_days")], [364, 1]);
  // a day before the 62nd birthday; 102 years are written 90
  deepEqual([...numericColumn(cohort, "age")], [61, 90]);
  deepEqual([...numericColumn(cohort, "op_year")], [2012, 2012]);
  deepEqual([...numericColumn(cohort, "case_seq")], [2, 1]);
});

Deno.test("mapping works yes and no, counts, sets, surfaces and constants out of columns", async () => {
  const cohort = await mapped(
    [
      { lad: "Y", rca: "Y", cx: "N", neo: "Y", res: "N", cm: 180, kg: 80, died: "x", y: "Y" },
      { lad: "N", rca: "", cx: "N", neo: "Y", res: "Y", cm: "", kg: 80, died: "", y: "N" },
    ],
    {
      derived: {
        patients: [
          { rule: "count-of", column: "cad_vessels", sources: ["lad", "rca", "cx"], yes: ["Y"] },
          { rule: "any-of", column: "prior_mi", sources: ["lad", "rca"], yes: ["Y"] },
          {
            rule: "set-of",
            column: "adjuncts",
            sources: { neo: "neochordae", res: "resection" },
            yes: ["Y"],
          },
          { rule: "body-surface", column: "bsa", height: "cm", weight: "kg" },
          { rule: "constant", column: "tricuspid", value: "none", why: "isolated operations only" },
          {
            rule: "first-of",
            column: "diabetes",
            sources: ["y", "lad"],
            codes: { Y: 1, N: 0 },
          },
        ],
        visits: [],
      },
      patients: { died: { ignore: "kept elsewhere" } },
    },
    ["prior_mi", "tricuspid", "diabetes"],
  );
  deepEqual([...numericColumn(cohort, "cad_vessels")], [2, NaN]);
  deepEqual([...numericColumn(cohort, "prior_mi")], [1, NaN]);
  deepEqual(textColumn(cohort, "adjuncts"), ["neochordae", "neochordae;resection"]);
  // Mosteller: √(180·80/3600) = 2
  deepEqual([...numericColumn(cohort, "bsa")], [2, NaN]);
  deepEqual(textColumn(cohort, "tricuspid"), ["none", "none"]);
  deepEqual([...numericColumn(cohort, "diabetes")], [1, 0]);
});

Deno.test("body surface is worked out from inches and pounds as from centimetres and kilograms", async () => {
  const rule = { rule: "body-surface", column: "bsa" } as const;
  const other = {
    ...rule,
    height: "in",
    heightUnit: "in",
    weight: "lb",
    weightUnit: "lb",
  } as const;
  const cohort = await mapped(
    [{ in: 70.866, lb: 176.37 }, { in: 60, lb: "" }],
    { derived: { patients: [other], visits: [] } },
    [],
  );
  // 70.866 in are 180.0 cm, 176.37 lb are 80.0 kg: as above
  deepEqual([...numericColumn(cohort, "bsa")], [2, NaN]);
});

Deno.test("a value that a rule knows neither as yes nor as no is reported, and is no no", async () => {
  const cohort = await mapped(
    [{ lad: "unknown", rca: "N" }, { lad: "y", rca: "2" }, { lad: "no", rca: "" }],
    {
      derived: {
        patients: [
          { rule: "any-of", column: "prior_mi", sources: ["lad"], yes: ["Y"] },
          { rule: "count-of", column: "cad_vessels", sources: ["lad", "rca"], yes: ["Y"] },
          {
            rule: "set-of",
            column: "adjuncts",
            sources: { lad: "neochordae", rca: "resection" },
            yes: ["Y"],
            no: ["N", "no", "2"],
          },
        ],
        visits: [],
      },
    },
    ["prior_mi", "cad_vessels", "adjuncts"],
  );
  deepEqual([...numericColumn(cohort, "prior_mi")], [NaN, 1, 0]);
  deepEqual([...numericColumn(cohort, "cad_vessels")], [NaN, NaN, NaN]);
  deepEqual(textColumn(cohort, "adjuncts"), ["", "neochordae", ""]);
  const reported = cohort.problems.filter(({ message }) => /neither one of yes/.test(message))
    .map(({ column, row }) => `${column} ${row}`);
  // rows from 0, in the order of the file
  deepEqual(reported, ["prior_mi 0", "cad_vessels 0", "adjuncts 0", "cad_vessels 1"]);
});

Deno.test("a heading that is there twice is left out twice, where the study leaves it out", async () => {
  const [head = "", ...rows] = csvOf(patientsOf([{}])).trimEnd().split("\n");
  const twice = [`${head},Ward,Ward`, ...rows.map((row) => `${row},4,5`)].join("\n") + "\n";
  const { cohort } = await readText(twice, noVisits, {
    mapping: { patients: { Ward: { ignore: "not used" } } },
  });
  deepEqual(cohort.problems.filter(({ severity }) => severity === "structural"), []);
  equal(cohort.n, 1);
});

Deno.test("mapping that does not fit the dictionary is refused, all at once", async () => {
  const study = smallStudy({
    mapping: {
      patients: {
        a: "height",
        b: { column: "lvedd", unit: "kPa" },
        c: { column: "sex", codes: { w: "woman" } },
        d: { column: "diabetes", codes: { Y: 1, y: 0 } },
        e: { column: "nyha", unit: "cm" },
      },
      derived: {
        patients: [{ rule: "year-of", column: "fu_days", date: "x" }],
        visits: [],
      },
    },
  });
  await rejects(readCohort(study), (error: Error) => {
    deepEqual(error.message.split("\n").slice(1).map((line) => line.trim()), [
      `mapping.patients.a: "height" is no column of the dictionary's patients`,
      `mapping.patients.b.unit: one of mm, cm, m, got "kPa"`,
      `mapping.patients.c.codes.w: one of F, M, unknown, got "woman"`,
      "mapping.patients.d.codes.y: means two things: case and outer spaces do not tell codes apart",
      `mapping.patients.e.unit: "nyha" has no unit that can be converted`,
      `mapping.derived.patients[0].rule: "year-of" does not give what "fu_days" holds`,
    ]);
    return true;
  });
});
