import assert from "node:assert/strict";
import { fileURLToPath } from "node:url";
import { numericColumn, readCohort, selectEligible, textColumn } from "../../lib/cohort/mod.ts";
import { cohortFiles, demoCohort } from "../../lib/simulate/rows/cohort-files.ts";
import type { PatientRow } from "../../lib/simulate/rows/rows.ts";
import {
  damagedRows,
  simulateSecondCentre,
} from "../../lib/simulate/second-centre/second-centre.ts";
import { secondCentreFiles } from "../../lib/simulate/second-centre/second-centre-files.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { openStudy } from "../../lib/study/mod.ts";

const folder = new URL("../../data-demo/second-centre/", import.meta.url);
const centre = simulateSecondCentre();
const files = secondCentreFiles(centre);
const study = await openStudy(fileURLToPath(new URL("study.json", folder)));
const cohort = await readCohort(study);

Deno.test("second centre: the committed files are those the seed gives, byte for byte", () => {
  for (const [name, bytes] of Object.entries(files)) {
    const committed = Deno.readFileSync(new URL(name, folder));
    assert.ok(
      committed.length === bytes.length && committed.every((byte, i) => byte === bytes[i]),
      `${name} differs: run \`deno task demo-data\``,
    );
    assert.ok(bytes.length < 300_000, `${name}: ${bytes.length} bytes`);
  }
});

Deno.test("second centre: its files are written as another centre would", () => {
  const [patients, visits] = cohort.log;
  assert.equal(patients?.format?.kind, "xlsx");
  assert.deepEqual(visits?.format, {
    kind: "csv",
    compressed: false,
    encoding: "utf-8",
    delimiter: ";",
    decimal: ",",
  });
  assert.deepEqual([...files["echo.csv"].slice(0, 3)], [0xef, 0xbb, 0xbf]);
  assert.match(new TextDecoder().decode(files["echo.csv"].slice(0, 400)), /;\d+,\d+;.*\r\n/);
});

// What goes out in centimetres, fractions, months and codes comes back as it was drawn.
Deno.test("second centre: the mapping gives every measurement back as it was", () => {
  const clean = centre.clean.patients;
  assert.deepEqual(cohort.ids, clean.map(({ id }) => id));
  const numbers: (keyof PatientRow)[] = [
    "op_year",
    "case_seq",
    "age",
    "nyha",
    "diabetes",
    "egfr",
    "cad_vessels",
    "redo",
    "risk_pct",
    "mr_pre",
    "eroa",
    "rvol",
    "rf",
    "vc",
    "lvef",
    "lvedd",
    "lvesd",
    "tether",
    "ipmd",
    "pasp",
    "ring_mm",
    "cpb",
    "clamp",
    "mr_exit",
    "grad_exit",
    "los",
    "fu_days",
    "dead",
    "reint",
    "reint_day",
  ];
  const same = (name: keyof PatientRow, read: ArrayLike<number>, i: number) => {
    const due = clean[i]![name];
    return due === "" ? Number.isNaN(read[i]) : Math.abs(Number(due) - read[i]!) < 1e-9;
  };
  const untrue = new Set(
    cohort.problems.filter(({ costs, table }) => costs === "cell" && table === "patients")
      .flatMap(({ column, row, rule }) => [
        `${column} ${row}`,
        // of two that contradict each other neither is believed
        ...(rule === "clamp-in-bypass" ? [`cpb ${row}`] : []),
      ]),
  );
  for (const name of numbers) {
    const read = numericColumn(cohort, name);
    const different = clean.flatMap((_, i) =>
      !same(name, read, i) && !untrue.has(`${name} ${i}`) ? [i] : []
    );
    assert.deepEqual(different, [], name);
  }
  const texts: (keyof PatientRow)[] = [
    "sex",
    "af_pre",
    "urgency",
    "aetiology",
    "leaflet",
    "approach",
    "intended",
    "final",
    "convert_reason",
    "ring_type",
    "adjuncts",
    "prosthesis",
    "chordal_sparing",
    "tricuspid",
    "death_cause",
    "reint_reason",
  ];
  for (const name of texts) {
    const read = textColumn(cohort, name);
    const set = (text: string) => text.split(";").sort().join(";");
    assert.deepEqual(read.map(set), clean.map((row) => set(String(row[name]))), name);
  }
  // height and weight are rounded
  const surface = numericColumn(cohort, "bsa");
  clean.forEach(({ bsa }, i) => {
    if (bsa !== "") assert.ok(Math.abs(surface[i]! - bsa) < 0.011);
    else assert.ok(Number.isNaN(surface[i]));
  });
});

Deno.test("second centre: cells that cannot be true are missing, visits are dropped, nobody is", () => {
  const [patients, visits] = cohort.log;
  assert.deepEqual(
    [patients?.rowsRead, patients?.rowsSetAside, patients?.cellsBlanked, visits?.rowsSetAside],
    [centre.patients.length, 0, damagedRows.patients + 1, damagedRows.visits],
  );
  assert.equal(visits?.rowsRead, centre.visits.length);
  const { flow, n, excluded } = selectEligible(cohort, study);
  assert.equal(n + excluded.length, cohort.n);
  assert.ok(n > 700, `${n} analysed`);
  assert.equal(flow[0]?.remaining, centre.patients.length);
});

Deno.test("second centre: its case mix is another than the first centre's", () => {
  const first = simulateCohort(demoCohort).patients;
  const share = (rows: readonly PatientRow[], aetiology: string) =>
    rows.filter((row) => row.aetiology === aetiology).length / rows.length;
  const { patients } = centre.clean;
  assert.ok(share(patients, "ischaemic") > share(first, "ischaemic") + 0.04);
  assert.ok(share(patients, "degenerative") < share(first, "degenerative") - 0.05);
  assert.ok(
    !cohortFiles({ patients: first, visits: [] })["patients.csv"].includes(patients[0]!.id),
  );
});
