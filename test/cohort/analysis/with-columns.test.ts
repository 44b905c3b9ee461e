import { deepEqual, equal, ok, rejects, throws } from "node:assert/strict";
import { balanceTable } from "../../../lib/balance/mod.ts";
import {
  type Analysis,
  commonestIn,
  frameOf,
  measuredBy,
  numericColumn,
  patientsWhere,
  withColumns,
  withCovariate,
} from "../../../lib/cohort/mod.ts";
import { analyse, replaced } from "../small-cohort.ts";

const declared = {
  name: "shortening",
  label: "Fractional shortening",
  type: "number",
  unit: "%",
  range: [-50, 90] as [number, number],
  stage: "pre-operative",
} as const;

async function shortened(analysis: Analysis) {
  const frame = await frameOf(analysis, ["lvedd", "lvesd"]);
  const wide = frame.column("lvedd");
  return frame.addColumn("shortening", wide.sub(frame.column("lvesd")).div(wide).mul(100));
}

const patients = [
  { lvedd: 50, lvesd: 25 },
  { lvedd: 40, lvesd: 30 },
  { ...replaced, lvedd: 80, lvesd: 60 },
  { ...replaced, lvedd: 52, lvesd: "" },
];

// By hand: 100 (50 - 25) / 50 = 50, 100 (40 - 30) / 40 = 25, 100 (80 - 60) / 80 = 25.
Deno.test("withColumns() takes a column worked out in a frame", async () => {
  const analysis = await analyse(patients);
  const before = Object.keys(analysis.columns);
  const wider = withColumns(analysis, await shortened(analysis), [declared]);
  deepEqual([...numericColumn(wider, "shortening")], [50, 25, 25, NaN]);
  deepEqual(Object.keys(analysis.columns), before);
  equal(analysis.study.columns.length, 0);
});

Deno.test("withColumns() knows the patients of a frame in another order", async () => {
  const analysis = await analyse(patients);
  const frame = (await shortened(analysis)).sortValues("lvedd", { ascending: false });
  const wider = withColumns(analysis, frame, [declared]);
  deepEqual([...numericColumn(wider, "shortening")], [50, 25, 25, NaN]);
  const some = withColumns(analysis, frame.head(2), [declared]);
  equal([...numericColumn(some, "shortening")].filter(Number.isNaN).length, 3);
});

Deno.test("a column that was worked out is adjusted for and chooses patients", async () => {
  const analysis = await analyse(patients);
  const wider = withColumns(analysis, await shortened(analysis), [declared]);
  const study = withCovariate(wider.study, { column: "shortening", form: "linear" });
  const { rows } = balanceTable(wider, study);
  ok(rows.some(({ label }) => label === "Fractional shortening"));
  ok(
    !balanceTable(analysis, analysis.study).rows.some(({ covariate }) =>
      covariate === "shortening"
    ),
  );
  const few = patientsWhere(
    wider,
    { column: "shortening", below: 30, source: "invented" },
    "30% or more, or not known",
  );
  deepEqual([few.n, few.groups.counts], [2, { repair: 1, replacement: 1 }]);
  equal(few.flow.at(-1)?.excluded, 2);
});

Deno.test("withColumns() refuses what was not declared or cannot be", async () => {
  const analysis = await analyse(patients);
  const frame = await shortened(analysis);
  const error = { name: "DataError" };
  throws(() => withColumns(analysis, frame, [{ ...declared, name: "missing" }]), error);
  throws(() => withColumns(analysis, frame, [{ ...declared, name: "age" }]), error);
  throws(() => withColumns(analysis, frame, [{ ...declared, range: [30, 90] }]), /shortening.*25/s);
  throws(() => withColumns(analysis, frame, [{ ...declared, range: [90, 30] }]), error);
  throws(() => withColumns(analysis, frame, [{ ...declared, type: "integer" }, declared]), error);
  throws(
    () => patientsWhere(analysis, { column: "shortening", below: 30, source: "invented" }, "no"),
    error,
  );
  await rejects(measuredBy(analysis, "aetiology", ["shortening"]), error);
});

// By hand: type 7 quartiles of 40 and 50 are 42.5, 45 and 47.5; of 52 and 80 they are 59,
// 66 and 73.
Deno.test("measuredBy() and commonestIn() divide by code and group", async () => {
  const analysis = await analyse(patients);
  const [row, ...others] = await measuredBy(analysis, "aetiology", ["lvedd"]);
  equal(others.length, 0);
  deepEqual(row?.repair, { n: 2, lower: 42.5, median: 45, upper: 47.5 });
  deepEqual(row?.replacement, { n: 2, lower: 59, median: 66, upper: 73 });
  const common = await commonestIn(analysis, "aetiology");
  equal(common.repair, common.replacement);
  equal(common.repair, row?.level);
});
