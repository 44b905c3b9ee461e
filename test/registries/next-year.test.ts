import { deepEqual, equal, match, ok } from "node:assert/strict";
import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import type { Desk } from "../../lib/cohort/begin/mod.ts";
import { beginStudy } from "../../lib/report/begin/begin-study.ts";
import { type PatientRow, simulateCohort } from "../../lib/simulate/mod.ts";

// A centre's export of one year and of the next: more rows, a new value, new columns, a renamed
// heading. Everything is invented.

const { patients, visits } = simulateCohort({ seed: 61, n: 90 });
const urgencies = { elective: "E", urgent: "U", emergency: "N", salvage: "S" };

function exportOf(rows: readonly PatientRow[], { next }: { next: boolean }): string {
  return stringify(
    rows.map((row, i) => ({
      "Case ID": `R${100 + i}`,
      "Operation year": row.op_year,
      "Age": row.age,
      "Sex": row.sex,
      "NYHA class": row.nyha,
      "Urgency": next && i === 3
        ? "X"
        : urgencies[row.urgency === "salvage" ? "urgent" : row.urgency],
      [next ? "LV ejection fraction (%)" : "Ejection fraction"]: row.lvef,
      "Planned procedure": row.intended,
      "Performed procedure": row.final,
      "Follow-up (days)": row.fu_days,
      "Died": row.dead,
      "Reintervention": row.reint,
      "Ward": "3B",
      ...(next && { "Diabetes mellitus": row.diabetes, "Bed": i % 7 }),
    })),
    { header: true },
  );
}

const echoes = stringify(
  visits.map(({ id, day, mr }) => ({
    "Case ID": `R${100 + patients.findIndex((row) => row.id === id)}`,
    "Echo day (days)": day,
    "MR grade": mr,
  })),
  { header: true },
);

const answers: Record<string, string> = {
  "patients.Urgency": "urgency",
  "patients.Urgency.urgency.values": "E=elective; U=urgent; N=emergency",
  "patients.Planned procedure": "intended",
  "patients.Performed procedure": "final",
  "study.closing-year": "2024.5",
};

Deno.test("next year's export keeps answers, what was changed by hand and pseudonyms, and asks about what is new", async () => {
  const out = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const asked: string[] = [];
    const texts: string[] = [];
    const begin = async (csv: string, said: Record<string, string>) => {
      asked.length = texts.length = 0;
      const desk: Desk = {
        answerer({ id, lines, proposal }) {
          asked.push(id);
          texts.push(lines.join("\n"));
          return Promise.resolve(said[id] ?? (proposal === undefined ? undefined : ""));
        },
        say() {},
      };
      const [cohort, visits] = [join(out, "patients-raw.csv"), join(out, "echo-raw.csv")];
      await Deno.writeTextFile(cohort, csv);
      await Deno.writeTextFile(visits, echoes);
      return await beginStudy({ cohort, visits, out }, desk);
    };
    const study = async () => JSON.parse(await Deno.readTextFile(join(out, "study.json")));
    const ids = async () =>
      (await Deno.readTextFile(join(out, "clean", "patients.csv"))).split("\n").slice(1, -1)
        .map((line) => line.split(",")[0]!);

    await begin(exportOf(patients.slice(0, 60), { next: false }), answers);
    ok(asked.includes("patients.Urgency.urgency.values"), asked.join());
    const first = await study();
    equal(first.mapping.patients["Ward"].ignore, "not used");
    const firstIds = await ids();

    // the fellow writes the plan, and a better reason
    first.question = "Who lives longer?";
    first.horizons = [1, 3];
    first.mainHorizon = 3;
    first.restrictedMeanHorizon = 3;
    first.mapping.patients["Ward"] = { ignore: "where somebody lay says nothing of the valve" };
    first.mapping.patients["Age"] = { column: "age", missing: ["?"] };
    await Deno.writeTextFile(join(out, "study.json"), JSON.stringify(first, null, 2));

    const again = await begin(exportOf(patients, { next: true }), {
      "patients.Urgency.urgency.values": "X=salvage",
    });
    // nothing but what is new, and the confirmation
    deepEqual(asked.filter((id) => !/LV ejection|Diabetes/.test(id)), [
      "patients.unlike",
      "patients.Urgency.urgency.values",
      "study.confirm",
    ]);
    match(texts[asked.indexOf("patients.unlike")]!, /“Bed”/);
    ok(!texts[asked.indexOf("patients.unlike")]!.includes("“Ward”"));
    match(texts[asked.indexOf("patients.Urgency.urgency.values")]!, /X \(1\): \?/);
    match(
      texts[asked.indexOf("patients.Urgency.urgency.values")]!,
      /N \(\d+\): emergency \(as answered before\)/,
    );

    const second = await study();
    equal(second.question, "Who lives longer?");
    deepEqual(second.horizons, [1, 3]);
    deepEqual(second.adjustment, first.adjustment);
    deepEqual(second.mapping.patients["Ward"], first.mapping.patients["Ward"]);
    deepEqual(second.mapping.patients["Age"], first.mapping.patients["Age"]);
    deepEqual(second.mapping.patients["Urgency"].codes, {
      E: "elective",
      U: "urgent",
      N: "emergency",
      X: "salvage",
    });
    equal(second.mapping.patients["Diabetes mellitus"], "diabetes");
    deepEqual(second.mapping.patients["Bed"], { ignore: "not used" });
    equal(second.mapping.patients["LV ejection fraction (%)"], "lvef");
    equal(second.mapping.patients["Ejection fraction"], undefined);
    match(again.lines.join("\n"), /No more in the export: patients\.Ejection fraction/);
    match(again.lines.join("\n"), /Kept as you changed it: .*mapping\.patients\.Ward/);

    // with the same key, a patient of last year keeps the pseudonym
    const secondIds = new Set(await ids());
    equal(secondIds.size, 90);
    deepEqual(firstIds.filter((id) => !secondIds.has(id)), []);

    // a third time, nothing is new: only the confirmation is asked for, and the file stays as it is
    const bytes = await Deno.readTextFile(join(out, "study.json"));
    await begin(exportOf(patients, { next: true }), {});
    deepEqual(asked, ["study.confirm"]);
    equal(await Deno.readTextFile(join(out, "study.json")), bytes);
  } finally {
    await Deno.remove(out, { recursive: true });
  }
});

Deno.test("at the confirmation a heading is asked about again, even one beyond doubt; nothing was written before", async () => {
  const out = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const [cohort, visits] = [join(out, "patients-raw.csv"), join(out, "echo-raw.csv")];
    await Deno.writeTextFile(cohort, exportOf(patients, { next: true }));
    await Deno.writeTextFile(visits, echoes);
    const asked: string[] = [];
    let confirmed = 0;
    const { code } = await beginStudy({ cohort, visits, out }, {
      async answerer({ id, lines, proposal }) {
        asked.push(id);
        if (id === "study.confirm") {
          const names = [...Deno.readDirSync(out)].map(({ name }) => name);
          ok(!names.includes("study.json") && !names.includes("clean"), names.join());
          const count = (what: RegExp) =>
            Number(
              what.exec(
                lines.slice(
                  0,
                  lines.findIndex((line) => /visits table/.test(line)),
                ).join("\n"),
              )?.[1],
            );
          const all = count(/patients table, (\d+) headings/);
          equal(
            count(/(\d+) are mapped/) + count(/(\d+) are dropped/) + count(/(\d+) are open/),
            all,
          );
          equal(all, 15);
          return confirmed++ === 0 ? "NYHA class; Ward" : "write";
        }
        if (id === "patients.NYHA class") {
          return await Promise.resolve("ignore: read at another time");
        }
        return answers[id] ?? (proposal === undefined ? undefined : "");
      },
      say() {},
    });
    equal(confirmed, 2);
    ok(code < 2);
    ok(asked.includes("patients.NYHA class"));
    ok(asked.includes("patients.Ward"));
    const { mapping } = JSON.parse(await Deno.readTextFile(join(out, "study.json")));
    deepEqual(mapping.patients["NYHA class"], { ignore: "read at another time" });
  } finally {
    await Deno.remove(out, { recursive: true });
  }
});
