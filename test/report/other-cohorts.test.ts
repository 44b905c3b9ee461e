import assert from "node:assert/strict";
import { parse } from "csv-parse/sync";
import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import { fromFileUrl } from "../../lib/report/notebooks/paths.ts";
import { buildReport } from "../../lib/report/build-report.ts";
import { describeFailure } from "../../lib/report/notebooks/notebook.ts";

// What must hold for a group's own files: every notebook runs to its end on cohorts that are
// smaller, narrower or emptier than the demonstration. Invented data, cut from `data-demo/`.

type Row = Record<string, string>;
type Plan = Record<string, unknown> & { adjustment: { covariates: { column: string }[] } };

const demo = (name: string) => fromFileUrl(new URL(`../../data-demo/${name}`, import.meta.url));
const rowsOf = async (name: string): Promise<Row[]> =>
  parse(await Deno.readTextFile(demo(name)), { columns: true });

async function failuresOf(
  cohort: (patients: Row[], visits: Row[]) => [Row[], Row[]],
  change: (plan: Plan) => void = () => {},
): Promise<string[]> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const plan: Plan = JSON.parse(await Deno.readTextFile(demo("study.json")));
    plan.bootstrap = { replicates: 0 };
    change(plan);
    const [visits, header] = [await rowsOf("echo-visits.csv"), true];
    const columns = Object.keys(visits[0] ?? {});
    const [patients, kept] = cohort(await rowsOf("patients.csv"), visits);
    const ids = new Set(patients.map(({ id }) => id));
    const own = kept.filter(({ id }) => ids.has(id));
    await Deno.writeTextFile(join(folder, "study.json"), JSON.stringify(plan));
    await Deno.writeTextFile(join(folder, "patients.csv"), stringify(patients, { header }));
    await Deno.writeTextFile(join(folder, "echo-visits.csv"), stringify(own, { header, columns }));
    await Deno.copyFile(demo("life-table.csv"), join(folder, "life-table.csv"));
    const out = join(folder, "out");
    const { model } = await buildReport({ study: join(folder, "study.json"), out });
    return model.failures.map(describeFailure);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

const leaveOut = (names: readonly string[]) => (plan: Plan) => {
  plan.adjustment.covariates = plan.adjustment.covariates
    .filter(({ column }) => !names.includes(column));
};

Deno.test("the notebooks run on the second centre's files", async () => {
  const out = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const { model } = await buildReport({ study: demo("second-centre/study.json"), out });
    assert.deepEqual(model.failures.map(describeFailure), []);
  } finally {
    await Deno.remove(out, { recursive: true });
  }
});

Deno.test("the notebooks run on a hundred patients", async () => {
  assert.deepEqual(await failuresOf((patients, visits) => [patients.slice(0, 100), visits]), []);
});

Deno.test("the notebooks run on degenerative disease alone, and where no line is planned", async () => {
  const found = await failuresOf(
    (patients, visits) => [patients.filter((row) => row.aetiology === "degenerative"), visits],
    leaveOut(["tether", "ipmd", "aetiology"]),
  );
  assert.deepEqual(found, []);
});

Deno.test("the notebooks run where hardly anybody was looked at and no leak was found", async () => {
  const found = await failuresOf((patients, visits) => [
    patients,
    visits.filter((row, i) => i % 20 === 0 && Number(row.mr) < 2),
  ]);
  assert.deepEqual(found, []);
});

Deno.test("where a comparison cannot be made the report says which and why, and has the rest", async () => {
  const found = await failuresOf((patients, visits) => [
    patients.filter((row) => row.intended === "repair"),
    visits,
  ]);
  assert.match(found.join("\n"), /two groups with patients, to be compared/);
  assert.ok(found.every((line) => !line.startsWith("01-cohort")), found.join("\n"));
});
