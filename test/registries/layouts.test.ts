import { deepEqual, equal, match, ok } from "node:assert/strict";
import { stringify } from "csv-stringify/sync";
import { sheetXml, workbook } from "../damaged/workbook.ts";
import { type Rows, talkOver } from "./talk.ts";

// Headers, record numbers and decimal marks as centres have them. Expectations by hand; rows are
// invented.

const people = Array.from({ length: 30 }, (_, i) => i);

Deno.test("a header whose names are merged across two lines is found, with groups among them", async () => {
  const rows = [
    ["Registry of nobody"],
    ["Case ID", "Age", "Sex", "Before operation", "", "", "Outcome", ""],
    ["", "", "", "MR grade", "EF", "NYHA", "Vital status", "Follow-up (days)"],
    ...people.map((i) => [`R${i}`, 60 + i % 9, i % 2 ? "M" : "F", 3, 55, 2, "alive", 900 + i]),
  ];
  const merges = ["A2:A3", "B2:B3", "C2:C3", "D2:F2", "G2:H2"];
  const { texts, study } = await talkOver({
    patients: workbook(rows, {
      "xl/worksheets/sheet1.xml": sheetXml(rows).replace(
        "</worksheet>",
        `<mergeCells>${merges.map((ref) => `<mergeCell ref="${ref}"/>`).join("")}</mergeCells>` +
          "</worksheet>",
      ),
    }),
  });
  match(texts["patients.header"]!, /line 2, beneath 1 narrower, with names in two lines/);
  deepEqual(study.export.cohort.header, [2, 3]);
  deepEqual(Object.keys(study.mapping.patients), [
    "Age",
    "Sex",
    "Before operation: MR grade",
    "Before operation: EF",
    "Before operation: NYHA",
    "Outcome: Vital status",
    "Outcome: Follow-up (days)",
    "Case ID",
  ]);
  deepEqual(study.export.cohort.fillDown, []);
});

Deno.test("an id that numbers rows is not taken for the patient's where another column could be", async () => {
  const patients: Rows = people.map((i) => ({ id: i + 1, "Case ID": `R${i}`, age: 60 + i % 9 }));
  const visits: Rows = people.flatMap((i) =>
    [7, 400].map((day, k) => ({ id: 2 * i + k + 1, patient_id: `R${i}`, day: day + i, mr: k }))
  );
  const { asked, texts, proposals, study } = await talkOver({ patients, visits }, {
    answers: { "patients.id": "Case ID" },
  });
  ok(asked.includes("patients.id") && asked.includes("visits.id"), asked.join());
  match(texts["patients.id"]!, /could be: “id”, “Case ID”/);
  // of patients each has a number of his own in both; of visits only the patient's comes again
  equal(proposals["patients.id"], undefined);
  equal(proposals["visits.id"], "patient_id");
  deepEqual(study.mapping.patients.id, { ignore: "another column has the record numbers" });
  deepEqual(study.mapping.visits.patient_id, "id");
  const plain = await talkOver({
    patients: patients.map(({ id, age }) => ({ id: id!, age: age! })),
  });
  ok(!plain.asked.includes("patients.id"));
});

Deno.test("merged cells are filled down where a heading has a comma in it", async () => {
  const name = "Pat. no., running";
  const visits = ["A", "", "B", "", "", "C", ""].map((id, i) => ({
    [name]: id,
    day: 30 * i + 1,
    mr: 1,
  }));
  const patients = ["A", "B", "C"].map((id) => ({ [name]: id, age: 60 }));
  const { proposals, study } = await talkOver({ patients, visits }, {
    answers: { "patients.id": name, "visits.id": name },
  });
  equal(proposals["visits.fill-down"], `"${name}"`);
  deepEqual((study.export as unknown as { visits: { fillDown: string[] } }).visits.fillDown, [
    name,
  ]);
});

const german = (rows: (string | number)[][]) => stringify(rows, { delimiter: ";" });
const comma = (value: number) => value.toFixed(1).replace(".", ",");

Deno.test("neither a title with commas nor a thousand with a point hides a file's decimal commas", async () => {
  const { study } = await talkOver({
    patients: german([
      ["Mitral registry, invented, as of today"],
      ["Case ID", "Age", "LVESD (mm)", "Marker"],
      ...people.map((i) => [`R${i}`, 60 + i % 9, comma(38 + i / 10), i % 2 ? "1.234" : "987"]),
    ]),
  });
  equal(study.mapping.patients["LVESD (mm)"], "lvesd");
});

Deno.test("where numbers are written with points and with commas, it is asked, and both are read", async () => {
  const patients = german([
    ["Case ID", "LVESD (mm)", "LVEDD (mm)"],
    ...people.map((i) => [`R${i}`, comma(38 + i / 10), (55 + i / 10).toFixed(1)]),
  ]);
  const { asked, texts, study } = await talkOver({ patients }, {
    answers: { "patients.decimal": "comma" },
  });
  ok(asked.includes("patients.decimal"), asked.join());
  match(texts["patients.decimal"]!, /55\.0 in “LVEDD \(mm\)”.*38,0 in “LVESD \(mm\)”/);
  equal(study.export.cohort.decimal, ",");
  equal(study.mapping.patients["LVESD (mm)"], "lvesd");
  const { codes } = study.mapping.patients["LVEDD (mm)"] as { codes: Record<string, number> };
  deepEqual([codes["55.0"], codes["57.9"]], [55, 57.9]);
});

Deno.test("an odd value is seen behind any number of plain ones", async () => {
  const patients = Array.from({ length: 1500 }, (_, i) => ({
    "Case ID": `R${i}`,
    "LVESD (mm)": i === 1490 ? "ca. 41" : (30 + i / 60).toFixed(2),
  }));
  const { asked, study } = await talkOver({ patients });
  ok(asked.includes("patients.LVESD (mm).lvesd.values.about"), asked.join());
  deepEqual(study.mapping.patients["LVESD (mm)"], { column: "lvesd", codes: { "ca. 41": 41 } });
});

Deno.test("next year's header is asked for anew where the names moved, and not where they did not", async () => {
  const file = (titles: number, name = "Age") =>
    stringify([
      ...Array.from({ length: titles }, (_, i) => [`Invented registry, title ${i}`]),
      ["Case ID", name, "LVESD (mm)", "Sex"],
      ...people.map((i) => [`R${i}`, 60 + i % 9, 38 + i % 9, i % 2 ? "M" : "F"]),
    ]);
  const first = await talkOver({ patients: file(1) });
  deepEqual(first.study.export.cohort.header, [2]);
  const same = await talkOver({ patients: file(1, "Age at operation") }, { before: first.kept });
  ok(!same.asked.includes("patients.header"), same.asked.join());
  const moved = await talkOver({ patients: file(2) }, { before: first.kept });
  ok(moved.asked.includes("patients.header"), moved.asked.join());
  deepEqual(moved.study.export.cohort.header, [3]);
});

Deno.test("next year's heading is asked about anew where its numbers are in another unit", async () => {
  const file = (factor: number) =>
    people.map((i) => ({ "Case ID": `R${i}`, "LV diameter": (55 + i % 9) * factor }));
  const answers = { "patients.unlike": "LV diameter", "patients.LV diameter": "lvedd cm" };
  const first = await talkOver({ patients: file(0.1) }, { answers });
  deepEqual(first.study.mapping.patients["LV diameter"], { column: "lvedd", unit: "cm" });
  const again = await talkOver({ patients: file(0.1) }, { before: first.kept });
  ok(!again.asked.includes("patients.LV diameter"), again.asked.join());
  const other = await talkOver({ patients: file(1) }, {
    before: first.kept,
    answers: { "patients.LV diameter": "lvedd" },
  });
  ok(other.asked.includes("patients.LV diameter"), other.asked.join());
  equal(other.study.mapping.patients["LV diameter"], "lvedd");
});

Deno.test("creatinine is read in the unit of its heading, and asked about where its values are of both", async () => {
  const file = (heading: string, value: (i: number) => number) =>
    people.map((i) => ({ "Case ID": `R${i}`, [heading]: value(i) }));
  const rule = async (heading: string, value: (i: number) => number) => {
    const { asked, texts, study } = await talkOver({ patients: file(heading, value) });
    const [found] = study.mapping.derived.patients;
    const id = `patients.${heading}`;
    return [found?.rule === "filtration-rate" ? found.unit : null, asked.includes(id), texts[id]];
  };
  deepEqual(await rule("Creatinine", (i) => 0.8 + i % 9 / 10), ["mg/dL", false, undefined]);
  deepEqual(await rule("Creatinine", (i) => 71 + i), ["umol/L", false, undefined]);
  const [unit, asked, text] = await rule("Creatinine", (i) => i % 4 ? 71 + i : 1.1);
  deepEqual([unit, asked], ["umol/L", true]);
  match(String(text), /some of its values are such as in mg\/dL/);
  deepEqual((await rule("Creatinine mg/dl", (i) => i < 20 ? 71 + i : 1.1)).slice(0, 2), [
    "mg/dL",
    true,
  ]);
});

Deno.test("heights and weights are read in centimetres, metres, inches, kilograms and pounds, and asked about where that is in doubt", async () => {
  const units = async (height: [string, number], weight: [string, number]) => {
    const patients = people.map((i) => ({
      "Case ID": `R${i}`,
      [height[0]]: Math.round(100 * (height[1] * (1 + (i % 9 - 4) / 100))) / 100,
      [weight[0]]: weight[1] + i % 9,
    }));
    const { asked, texts, study } = await talkOver({ patients });
    const rule = study.mapping.derived.patients.find(({ rule }) => rule === "body-surface");
    if (rule?.rule !== "body-surface") throw new Error("no body surface is worked out");
    const doubted = [height[0], weight[0]].filter((name) => asked.includes(`patients.${name}`));
    return { units: [rule.heightUnit, rule.weightUnit], doubted, texts };
  };
  const cases: [[string, number], [string, number], string[], string[]][] = [
    [["Height (cm)", 172], ["Weight (kg)", 75], ["cm", "kg"], []],
    [["Größe in m", 1.72], ["Gewicht in kg", 75], ["m", "kg"], []],
    [["height_in", 68], ["weight_lb", 175], ["in", "lb"], []],
    [["Height", 68], ["Weight", 75], ["in", "kg"], []],
    // by their values alone: heavy patients in kilograms, or pounds
    [["Height", 172], ["Weight", 175], ["cm", "lb"], ["Weight"]],
    // heading and values do not agree
    [["Height (cm)", 68], ["Weight (kg)", 175], ["in", "kg"], ["Height (cm)", "Weight (kg)"]],
  ];
  for (const [height, weight, expected, doubted] of cases) {
    const found = await units(height, weight);
    deepEqual([found.units, found.doubted], [expected, doubted], `${height[0]}, ${weight[0]}`);
  }
  const { texts } = await units(["Height (cm)", 68], ["Weight", 175]);
  match(texts["patients.Height (cm)"]!, /taken to be in inches, which is in doubt/);
  match(texts["patients.Weight"]!, /taken to be in pounds, which is in doubt/);
});

Deno.test("two headings cannot both be the creatinine, nor both a date of last contact", async () => {
  const patients = people.map((i) => ({
    "Case ID": `R${i}`,
    "Creatinine (mg/dl)": 0.8 + i % 9 / 10,
    "Creatinine (umol/l)": 71 + i,
  }));
  const { texts, proposals, study } = await talkOver({ patients }, {
    answers: { "patients.Creatinine (umol/l)": "ignore: the same in another unit" },
  });
  match(texts["patients.Creatinine (umol/l)"]!, /another column is that already/);
  equal(proposals["patients.Creatinine (umol/l)"], undefined);
  equal(study.mapping.derived.patients.length, 1);
});

Deno.test("a heading that is like a column which another is more like is asked about, not left out", async () => {
  const patients = people.map((i) => ({
    "Case ID": `R${i}`,
    "EF": `${50 + i % 9} %`,
    "Ejection fraction (%)": 50 + i % 9,
  }));
  const { asked, texts } = await talkOver({ patients }, {
    answers: { "patients.EF": "ignore: an older reading" },
  });
  ok(asked.includes("patients.EF") && !asked.includes("patients.unlike"), asked.join());
  match(texts["patients.EF"]!, /lvef, too|so may be/);
});

Deno.test("visits without a grade are named at the confirmation, and what nobody could read through is cut short", async () => {
  const patients = people.map((i) => ({
    "N° patient": `R${i}`,
    "Âge": 60 + i % 9,
    "FEVG": `${40 + i} %`,
  }));
  const visits = people.map((i) => ({ "N° patient": `R${i}`, "day": 30 + i, "Laboratory": "a" }));
  const { asked, texts } = await talkOver({ patients, visits });
  match(texts["study.confirm"]!, /nothing for .*dead, mr of a visit: every row must have these/);
  match(texts["study.confirm"]!, /“FEVG” -> lvef \(40 %=40; .*51 %=51; and 18 more\)/);
  // record numbers are nothing that an age could be, too
  ok(!asked.includes("patients.Âge"), asked.join());
});

Deno.test("a heading that stands for several things in several languages is asked about", async () => {
  const { asked, proposals, study } = await talkOver({
    patients: people.map((i) => ({ "N° patient": `R${i}` })),
    visits: people.map((i) => ({ "N° patient": `R${i}`, "day": 30 + i, "IM": `${i % 5}/4` })),
  });
  ok(asked.includes("visits.IM"), asked.join());
  equal(proposals["visits.IM"], "mr");
  deepEqual(study.mapping.visits.IM, {
    column: "mr",
    codes: { "0/4": 0, "1/4": 1, "2/4": 2, "3/4": 3, "4/4": 4 },
  });
});

Deno.test("a column of dates is never left out with the rest, and brackets do not hide a name", async () => {
  const patients = people.map((i) => ({
    "MRN": 900 + i,
    "Came back on": `2019-0${1 + i % 9}-11`,
    "Race": "x",
    "Ward": "3B",
    "Vital Status (1=alive, 2=dead)": i % 4 === 0 ? 2 : 1,
  }));
  const { asked, texts, proposals } = await talkOver({ patients }, {
    answers: { "patients.Came back on": "ignore: the day of a visit" },
  });
  ok(asked.includes("patients.Came back on"), asked.join());
  equal(proposals["patients.Came back on"], "ignore: not used");
  ok(!texts["patients.unlike"]!.includes("Came back"));
  equal(proposals["patients.Vital Status (1=alive, 2=dead)"], "dead");
  // the heading says what its values mean: that is proposed, and asked all the same
  equal(proposals["patients.Vital Status (1=alive, 2=dead).dead.values"], "1=0; 2=1");
});
