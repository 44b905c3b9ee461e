import { equal, match, ok } from "node:assert/strict";
import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import type { Desk } from "../../../lib/cohort/begin/mod.ts";
import { beginStudy } from "../../../lib/report/begin/begin-study.ts";
import { simulateCohort } from "../../../lib/simulate/mod.ts";

// An invented export, small; what is expected is by hand.
const { patients } = simulateCohort({ seed: 71, n: 60 });

const csv = stringify(
  patients.map((row, i) => ({
    "Case ID": `R${i}`,
    "op_year": row.op_year,
    "Age": row.age,
    "Sex": row.sex,
    "LVEDD (mm)": i === 4 ? "very large" : row.lvedd,
    "First surgeon": "",
    "intended": row.intended,
    "final": row.final,
    "fu_days": row.fu_days,
    "dead": row.dead,
    "reint": row.reint,
    "Walk": 200 + 5 * i,
    "Surgeon A": i % 2 ? "Erfunden, A." : "",
    "Surgeon B": i % 2 ? "" : "Ausgedacht, B.",
  })),
  { header: true },
);

Deno.test("begin says where to say what was not understood, and at the confirmation what was changed by hand", async () => {
  const out = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const cohort = join(out, "raw.csv");
    await Deno.writeTextFile(cohort, csv);
    let confirmed = "";
    let told = 0;
    const desk: Desk = {
      answerer({ id, lines, proposal }) {
        if (id === "study.confirm") confirmed = lines.join("\n");
        const own: Record<string, string> = {
          "study.closing-year": "2024.9",
          "patients.Surgeon A": "ignore: read by a rule",
          "patients.Surgeon B": "ignore: read by a rule",
        };
        return Promise.resolve(own[id] ?? (proposal === undefined ? undefined : ""));
      },
      say() {},
    };
    const begin = () => beginStudy({ cohort, visits: "none", out, progress: () => told++ }, desk);
    const path = join(out, "study.json");
    const lines = (await begin()).lines.join("\n");
    ok(told > 0);
    const text = (await Deno.readTextFile(path)).split("\n");
    const [, line = ""] =
      /to say what they stand for, write in mapping\.patients, line (\d+): "LVEDD/
        .exec(lines)!;
    match(text[Number(line) - 1]!, /"LVEDD \(mm\)"/);
    match(lines, /once you have said what they stand for, run the same command again/);
    ok(!/changed it/.test(confirmed), confirmed);

    // what the lines say is done, and a column of one's own is added; two columns name the surgeon
    const study = JSON.parse(await Deno.readTextFile(path));
    study.columns = [{
      name: "walk",
      label: "Walk",
      type: "number",
      range: [0, 900],
      stage: "pre-operative",
    }];
    study.mapping.patients.Walk = "walk";
    study.mapping.patients["LVEDD (mm)"] = { column: "lvedd", codes: { "very large": 80 } };
    delete study.mapping.patients["Surgeon A"];
    delete study.mapping.patients["Surgeon B"];
    study.mapping.derived.patients.push({
      rule: "first-of",
      column: "surgeon",
      sources: ["Surgeon A", "Surgeon B"],
    });
    await Deno.writeTextFile(path, JSON.stringify(study, null, 2));
    const again = (await begin()).lines.join("\n");
    match(confirmed, /stays as you changed it:/);
    match(confirmed, /mapping\.patients\.Walk: "walk"/);
    ok(!/lvedd: .*not understood/.test(again), again);
    const clean = await Deno.readTextFile(join(out, "clean", "patients.csv"));
    const [header = "", ...rows] = clean.trim().split("\n");
    const surgeon = header.split(",").indexOf("surgeon");
    ok(surgeon >= 0, header);
    equal(new Set(rows.map((row) => row.split(",")[surgeon])).size, 2);
    ok(rows.every((row) => /^S[12]$/.test(row.split(",")[surgeon]!)));
    ok(!/Erfunden|Ausgedacht/.test(clean));
  } finally {
    await Deno.remove(out, { recursive: true });
  }
});

Deno.test("visits find their patient where one table lost the zeros of its record numbers, and begin says so", async () => {
  const out = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const [cohort, visits] = [join(out, "raw.csv"), join(out, "echo.csv")];
    // two patients whose numbers are the same but for zeros: only the exact number is theirs
    const numberOf = (i: number) =>
      i === 0 ? "0000007" : i === 1 ? "07" : String(i).padStart(7, "0");
    const rows = patients.filter((_, i) => i !== 7).map((row, i) => ({
      "Case ID": numberOf(i < 7 ? i : i + 1),
      "op_year": row.op_year,
      "intended": row.intended,
      "final": row.final,
      "fu_days": 3000,
      "dead": 0,
      "reint": 0,
    }));
    const echoes = ["2", "3", "0000003", "R9", "07", "7", " 12 "].map((id, i) => ({
      "Case ID": id,
      "day": 30 + i,
      "mr": 1,
    }));
    await Deno.writeTextFile(cohort, stringify(rows, { header: true }));
    await Deno.writeTextFile(visits, stringify(echoes, { header: true }));
    const { lines } = await beginStudy({ cohort, visits, out }, {
      answerer: ({ id, proposal }) =>
        Promise.resolve(
          id === "study.closing-year" ? "2025" : proposal === undefined ? undefined : "",
        ),
      say() {},
    });
    // "2" and "3", and "12", whose blanks are no part of it; "7" could be two patients'
    match(
      lines.join("\n"),
      / 3 rows have a record number that is a patient's but for leading zeros/,
    );
    const of = async (name: string) =>
      (await Deno.readTextFile(join(out, "clean", name))).trim().split("\n").slice(1)
        .map((line) => line.split(",")[0]!);
    const known = new Set(await of("patients.csv"));
    const found = (await of("echo-visits.csv")).filter((id) => known.has(id));
    equal(found.length, 5);
    equal(new Set(found).size, 4);
  } finally {
    await Deno.remove(out, { recursive: true });
  }
});

Deno.test("half a grade that stays open is blank, counted and listed, and is not rounded", async () => {
  const out = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const [cohort, visits] = [join(out, "raw.csv"), join(out, "echo.csv")];
    await Deno.writeTextFile(cohort, csv);
    await Deno.writeTextFile(
      visits,
      stringify(
        patients.map((_, i) => ({ "Case ID": `R${i}`, "day": 1, "mr": i === 3 ? 1.5 : i % 2 })),
        { header: true },
      ),
    );
    const { lines } = await beginStudy({ cohort, visits, out }, {
      answerer({ id, proposal }) {
        const own = { "study.closing-year": "2024.9", "visits.mr.mr.values.between": "open" }[id];
        return Promise.resolve(own ?? (proposal === undefined ? undefined : ""));
      },
      say() {},
    });
    match(lines.join("\n"), /mr: 59 filled, 1 not understood and blank/);
    const listed = await Deno.readTextFile(join(out, "private", "not-understood.csv"));
    match(listed, /^visits,5,mr,1\.5,is not a whole number$/m);
    const clean = (await Deno.readTextFile(join(out, "clean", "echo-visits.csv"))).trim().split(
      "\n",
    );
    const at = clean[0]!.split(",").indexOf("mr");
    equal(clean.slice(1).filter((line) => line.split(",")[at] === "").length, 1);
  } finally {
    await Deno.remove(out, { recursive: true });
  }
});
