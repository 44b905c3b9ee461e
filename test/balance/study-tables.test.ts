import assert, { deepEqual, equal } from "node:assert/strict";
import {
  balanceTable,
  characteristics,
  matchedSample,
  overlapOf,
  standardizedDifference,
  unmatchedProfile,
  weightedSample,
} from "mitral";
import { studyCovariate } from "../../lib/balance/score/mod.ts";
import { assertClose } from "../close.ts";
import { analyse, planned, replaced, type Row } from "../cohort/small-cohort.ts";
import { analysis, demo, propensity } from "./demo-analysis.ts";

// By hand: one far value among eleven makes a column skewed, wherever it stands.
Deno.test("studyCovariate() is summarised by its median where one patient, be it the first, skews it", async () => {
  const column = async (values: (number | string)[]) =>
    studyCovariate(await analyse(values.map((lvef) => ({ lvef }))), "lvef");
  const same = Array(10).fill(60);
  equal((await column([10, ...same])).form, "median");
  equal((await column([...same, 10])).form, "median");
  equal((await column([58, 62, ...same])).form, "mean");
  // one without a value is not a value of 0
  const gap = await column(["", 58, 62, ...same]);
  equal(gap.form, "mean");
  deepEqual([...gap.present.slice(0, 2)], [0, 1]);
});

Deno.test("balanceTable() has a row for each covariate, and for what is missing", () => {
  const matched = matchedSample(analysis, demo, { propensity });
  const weighted = weightedSample(analysis, demo, { propensity, estimand: "overlap" });
  const { rows, largest, aboveTenth } = balanceTable(analysis, demo, { matched, weighted });
  const age = rows.find((row) => row.covariate === "age")!;
  const covariate = analysis.columns.age as Float64Array;
  const { treated } = analysis;
  assertClose(age.before!, standardizedDifference({ treated, covariate }));
  assertClose(
    age.afterMatching!,
    standardizedDifference({ treated, covariate, weight: matched.weight }),
  );
  assert.ok(Math.abs(age.afterWeighting!) < 1e-8);
  assert.ok(rows.some((row) => row.kind === "missing"));
  assert.ok(largest.afterMatching! < largest.before!);
  assert.ok(aboveTenth.afterWeighting! <= aboveTenth.before!);
  // tethering is compared among those who can have it
  const tether = rows.find((row) => row.covariate === "tether" && row.kind === "number")!;
  const column = analysis.columns.tether as Float64Array;
  const has = Array.from(column.keys()).filter((i) => !Number.isNaN(column[i]!));
  assertClose(
    tether.before!,
    standardizedDifference({
      treated: has.map((i) => treated[i]!),
      covariate: has.map((i) => column[i]!),
    }),
  );
  const joint = balanceTable(analysis, demo, { products: "all" });
  const { length } = joint.rows.filter(({ kind }) => kind === "product" || kind === "square");
  assert.ok(length > 100);
});

Deno.test("characteristics() and unmatchedProfile() count everyone once", () => {
  const matched = matchedSample(analysis, demo, { propensity });
  const weighted = weightedSample(analysis, demo, { propensity });
  const open = { ...demo, smallestCell: 1 };
  const { columns, rows } = characteristics(analysis, open, { matched, weighted });
  assert.equal(columns.length, 1 + 3 * 3);
  // a heading says how many patients, but where they are weighted
  for (const { key, label } of columns) {
    const [sample, group] = key.split(".");
    if (group !== "repair" && group !== "replacement") continue;
    const n = sample === "before" ? analysis.groups.counts[group] : matched.sets;
    const said = label.replace(/\D+$/, "").match(/[\d,]+$/)?.[0].replace(",", "");
    assert.equal(said, sample === "afterWeighting" ? undefined : `${n}`, `${key}: ${label}`);
  }
  const first = rows.findIndex((row) => row.characteristic === "Sex");
  for (
    const [key, n] of [
      ["before.repair", analysis.groups.counts.repair],
      ["before.replacement", analysis.groups.counts.replacement],
      ["afterMatching.repair", matched.sets],
    ] as const
  ) {
    const count = (row: Record<string, string>) => Number.parseInt(row[key]!);
    assert.equal(count(rows[first + 1]!) + count(rows[first + 2]!), n);
  }
  const profile = unmatchedProfile(analysis, open, matched);
  const sex = profile.rows.findIndex((row) => row.characteristic === "Sex");
  const [women, men] = profile.rows.slice(sex + 1, sex + 3);
  const left = (row: Record<string, string>) => Number.parseInt(row["repair.unmatched"]!);
  assert.equal(left(women!) + left(men!), matched.unmatched.repair.length);
});

Deno.test("characteristics() withhold small counts and what would give them away", async () => {
  // 30 repairs, of which 3 urgent and 27 elective; 30 replacements, of which 12 urgent
  const rows: Row[] = [];
  for (let i = 0; i < 30; i++) {
    rows.push({ age: 40 + i, urgency: i < 3 ? "urgent" : "elective", diabetes: i < 4 ? 1 : 0 });
  }
  for (let i = 0; i < 30; i++) {
    rows.push({
      ...replaced,
      age: 45 + i,
      urgency: i < 12 ? "urgent" : "elective",
      diabetes: i < 14 ? 1 : 0,
    });
  }
  const small = await analyse(
    rows,
    [],
    planned(
      { column: "age", form: "linear" },
      { column: "urgency", form: "category" },
      { column: "diabetes", form: "linear" },
    ),
  );
  const table = characteristics(small, small.study);
  const cells = (name: string) => {
    const row = table.rows.find(({ characteristic }) => characteristic?.trim() === name)!;
    return [row["before.repair"], row["before.replacement"], row["before.difference"]];
  };
  assert.deepEqual(cells("elective"), ["–", "18 (60%)", ""]);
  assert.deepEqual(cells("urgent"), ["–", "12 (40%)", ""]);
  // shares 4/30 and 14/30: -0.333 / sqrt((0.1156 + 0.2489) / 2) = -0.781; of 3 it would be -0.891,
  // of 5 -0.681: to one decimal it tells that there were 4
  assert.deepEqual(cells("Diabetes"), ["–", "14 (47%)", "–"]);
  // 40..69 has mean 54.5 and SD 8.80; 5 years later the same: -5 / 8.80
  assert.deepEqual(cells("Age, years"), ["54.5 (8.8)", "59.5 (8.8)", "−0.57"]);
  assert.match(table.notes.join(" "), /from 1 to 10 are not shown/);
});

Deno.test("overlapOf() counts who is outside the common range", () => {
  const overlap = overlapOf({
    treated: [1, 1, 1, 0, 0, 0],
    score: [0.4, 0.7, 0.97, 0.03, 0.5, 0.6],
  });
  assert.deepEqual(overlap.common, { lower: 0.4, upper: 0.6 });
  assert.deepEqual(overlap.outside, { treated: 2, controls: 1 });
  assert.deepEqual(overlap.extreme, { treated: 1, controls: 1 });
  // 7 of the 9 pairs have the treated higher
  assertClose(overlap.cStatistic.estimate, 7 / 9);
});
