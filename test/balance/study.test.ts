import assert from "node:assert/strict";
import {
  type Analysis,
  balanceTable,
  characteristics,
  DataError,
  designMatrix,
  matchedSample,
  openStudy,
  overlapOf,
  readCohort,
  rematcher,
  resampler,
  reweighter,
  selectEligible,
  standardizedDifference,
  studyPropensity,
  unmatchedProfile,
  weightedSample,
} from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { analyse, replaced, type Row } from "../cohort/small-cohort.ts";

// All expectations by hand unless said otherwise.

const planned = (...covariates: Record<string, unknown>[]) => ({ adjustment: { covariates } });
const design = (analysis: Analysis) => designMatrix(analysis, analysis.study);

Deno.test("designMatrix() makes levels of a category, against the one named or the commonest", async () => {
  const rows: Row[] = [
    { urgency: "urgent" },
    { urgency: "urgent", ...replaced },
    { urgency: "elective" },
    { urgency: "emergency" },
  ];
  const commonest = design(
    await analyse(rows, [], planned({ column: "urgency", form: "category" })),
  );
  assert.deepEqual(Object.keys(commonest.covariates), ["urgency: elective", "urgency: emergency"]);
  assert.deepEqual([...commonest.covariates["urgency: elective"]!], [0, 0, 1, 0]);
  const named = design(
    await analyse(
      rows,
      [],
      planned({ column: "urgency", form: "category", reference: "elective" }),
    ),
  );
  assert.deepEqual(Object.keys(named.covariates), ["urgency: urgent", "urgency: emergency"]);
  const analysis = await analyse(
    rows,
    [],
    planned({ column: "urgency", form: "category", reference: "salvage" }),
  );
  // nobody is left of the planned reference: the commonest takes its place, and that is said
  const replacedReference = design(analysis);
  assert.deepEqual(Object.keys(replacedReference.covariates), Object.keys(commonest.covariates));
  assert.match(replacedReference.notes.join(" "), /reference “salvage”.*commonest, “urgent”/);
});

Deno.test("designMatrix() leaves out what is known of nobody, and says so", async () => {
  const analysis = await analyse(
    [{ egfr: "", urgency: "urgent" }, { egfr: "", urgency: "elective", ...replaced }],
    [],
    planned(
      { column: "egfr", form: "linear" },
      { column: "urgency", form: "category", reference: "elective" },
    ),
  );
  const { covariates, notes } = design(analysis);
  assert.deepEqual(Object.keys(covariates), ["urgency: urgent"]);
  assert.match(notes.join(" "), /known for no eligible patient, so it is left out/);
});

Deno.test("designMatrix() gives missing numbers the mean and marks them", async () => {
  const rows: Row[] = [
    { lvef: 40 },
    { lvef: "" },
    { lvef: 70, ...replaced },
    { lvef: "", ...replaced },
  ];
  const { covariates, imputed } = design(
    await analyse(rows, [], planned({ column: "lvef", form: "linear" })),
  );
  assert.deepEqual([...covariates.lvef!], [40, 55, 70, 55]);
  assert.deepEqual([...covariates["lvef: missing"]!], [0, 1, 0, 1]);
  assert.deepEqual(imputed, [
    { column: "lvef", label: "Ejection fraction", count: 2, value: 55, indicator: true },
  ]);
  const stop = await analyse(
    rows,
    [],
    planned({ column: "lvef", form: "linear", missing: "stop" }),
  );
  assert.throws(() => design(stop), /lvef\[1\] must be known for everybody/);
});

Deno.test("designMatrix() multiplies the columns of an interaction, but not their marks", async () => {
  const rows: Row[] = [
    { lvef: 40, urgency: "urgent" },
    { lvef: "", urgency: "elective" },
    { lvef: 70, urgency: "urgent", ...replaced },
    { lvef: "", urgency: "emergency", ...replaced },
  ];
  const covariates = [
    { column: "urgency", form: "category", reference: "elective" },
    { column: "lvef", form: "spline", knots: [35, 50, 65] },
  ];
  const { covariates: columns } = design(
    await analyse(rows, [], {
      adjustment: { covariates, interactions: [["lvef", "urgency"]] },
    }),
  );
  assert.deepEqual(Object.keys(columns).slice(5), [
    "lvef with urgency: urgent",
    "lvef with urgency: emergency",
    "lvef (bend 1) with urgency: urgent",
    "lvef (bend 1) with urgency: emergency",
  ]);
  assert.deepEqual([...columns["lvef with urgency: urgent"]!], [40, 0, 70, 0]);
  assert.deepEqual([...columns["lvef with urgency: emergency"]!], [0, 0, 0, 55]);
  const bend = columns["lvef (bend 1)"]!;
  assert.deepEqual([...columns["lvef (bend 1) with urgency: urgent"]!], [bend[0], 0, bend[2], 0]);
});

Deno.test("designMatrix() leaves out a product of levels that nobody has together, and says so", async () => {
  const rows: Row[] = [
    { sex: "F", urgency: "urgent" },
    { sex: "M", urgency: "elective" },
    { sex: "F", urgency: "elective", ...replaced },
    { sex: "M", urgency: "elective", ...replaced },
  ];
  const covariates = [
    { column: "sex", form: "category", reference: "F" },
    { column: "urgency", form: "category", reference: "elective" },
  ];
  const { covariates: columns, notes } = design(
    await analyse(rows, [], { adjustment: { covariates, interactions: [["sex", "urgency"]] } }),
  );
  assert.deepEqual(Object.keys(columns), ["sex: M", "urgency: urgent"]);
  assert.deepEqual(notes, [
    "sex: M with urgency: urgent: nobody has both, so their product is left out.",
  ]);
});

Deno.test("designMatrix() fills in without a mark where the plan says imputed (by hand)", async () => {
  const rows: Row[] = [
    { lvef: 40, sex: "F" },
    { lvef: "", sex: "M" },
    { lvef: 70, sex: "M", ...replaced },
    { lvef: "", sex: "unknown", ...replaced },
  ];
  const number = design(
    await analyse(rows, [], planned({ column: "lvef", form: "linear", missing: "imputed" })),
  );
  assert.deepEqual(Object.keys(number.covariates), ["lvef"]);
  assert.deepEqual([...number.covariates.lvef!], [40, 55, 70, 55]);
  assert.deepEqual(number.imputed, [
    { column: "lvef", label: "Ejection fraction", count: 2, value: 55, indicator: false },
  ]);
  assert.match(number.notes.join(" "), /2 missing values were filled in/);
});

Deno.test("designMatrix() gives an imputed category the commonest level (by hand)", async () => {
  const rows: Row[] = [
    { af_pre: "none" },
    { af_pre: "persistent" },
    { af_pre: "persistent", ...replaced },
    { af_pre: "", ...replaced },
  ];
  const plan = planned({
    column: "af_pre",
    form: "category",
    reference: "none",
    missing: "imputed",
  });
  const { covariates } = design(await analyse(rows, [], plan));
  assert.deepEqual(Object.keys(covariates), ["af_pre: persistent"]);
  assert.deepEqual([...covariates["af_pre: persistent"]!], [0, 1, 1, 1]);
});

Deno.test("designMatrix() does not mark missing values that are all in one group", async () => {
  const rows: Row[] = [{ lvef: 40 }, { lvef: "" }, { lvef: 70, ...replaced }, { ...replaced }];
  const { covariates, imputed, notes } = design(
    await analyse(rows, [], planned({ column: "lvef", form: "linear" })),
  );
  assert.deepEqual(Object.keys(covariates), ["lvef"]);
  assert.equal(imputed[0]?.indicator, false);
  assert.match(notes[0]!, /all in one group/);
});

Deno.test("designMatrix() sets a column to 0 where it does not apply, and says where it does", async () => {
  const secondary = {
    aetiology: "functional_nonischaemic",
    leaflet: "",
    ipmd: 20,
    ipmd_phase: "systole",
  };
  const rows: Row[] = [
    {},
    { ...secondary, tether: 8 },
    { ...secondary, tether: 12, ...replaced },
    { ...replaced },
  ];
  const alone = design(await analyse(rows, [], planned({ column: "tether", form: "linear" })));
  assert.deepEqual([...alone.covariates.tether!], [0, 8, 12, 0]);
  assert.deepEqual([...alone.covariates["tether: applies"]!], [0, 1, 1, 0]);
  const carried = design(
    await analyse(
      rows,
      [],
      planned({ column: "tether", form: "linear" }, { column: "aetiology", form: "category" }),
    ),
  );
  assert.deepEqual(Object.keys(carried.covariates), [
    "tether",
    "aetiology: functional_nonischaemic",
  ]);
});

Deno.test("designMatrix() bends a number at the planned knots", async () => {
  const rows: Row[] = [50, 60, 70].map((age) => ({ age }));
  const { covariates, columns } = design(
    await analyse(rows, [], planned({ column: "age", form: "spline", knots: [50, 60, 70] })),
  );
  assert.deepEqual(Object.keys(covariates), ["age", "age (bend 1)"]);
  // (x - 50)^3 - 2 (x - 60)+^3, over 20^2
  assertAllClose(covariates["age (bend 1)"]!, [0, 2.5, 15]);
  assert.equal(columns["age (bend 1)"], "age");
});

Deno.test("designMatrix() refuses what came after the operation, and numbers of words", async () => {
  const analysis = await analyse([{}, { ...replaced }]);
  const with_ = (...covariates: unknown[]) => ({
    ...analysis.study,
    adjustment: {
      covariates: covariates as Analysis["study"]["adjustment"]["covariates"],
      interactions: [],
    },
  });
  for (const column of ["cpb", "mr_exit", "los", "id"]) {
    assert.throws(
      () => designMatrix(analysis, with_({ column, form: "linear", missing: "indicator" })),
      (error) => error instanceof DataError && /known before the operation/.test(error.message),
      column,
    );
  }
  assert.throws(
    () => designMatrix(analysis, with_({ column: "sex", form: "linear", missing: "indicator" })),
    /of form "category"/,
  );
});

const demo = await openStudy();
const cohort = await readCohort(demo);
const analysis = selectEligible(cohort, demo);
const propensity = studyPropensity(analysis, demo);

Deno.test("matchedSample() holds disjoint sets, within the caliper and the exact strata", () => {
  const sample = matchedSample(analysis, demo, { propensity });
  assert.ok(sample.sets > 100);
  assert.equal(sample.rows.length, sample.sets + sample.pairs.length);
  const seen = new Set<number>();
  const aetiology = analysis.columns.aetiology as string[];
  for (const [repair, replacement] of sample.pairs) {
    assert.equal(analysis.treated[repair], 1);
    assert.equal(analysis.treated[replacement], 0);
    assert.ok(!seen.has(repair) && !seen.has(replacement));
    seen.add(repair).add(replacement);
    assert.equal(aetiology[repair], aetiology[replacement]);
    const gap = propensity.linearPredictor[repair]! - propensity.linearPredictor[replacement]!;
    assert.ok(Math.abs(gap) <= sample.caliperWidth);
  }
  sample.rows.forEach((row, k) => {
    assert.equal(sample.treated[k], analysis.treated[row]);
    assert.equal(sample.weight[row], 1);
  });
  assert.deepEqual(
    sample.pairId.filter((id, k) => id === sample.pairId[k + 1]).length,
    sample.sets,
  );
  const { repair, replacement } = sample.unmatched;
  assert.equal(sample.rows.length + repair.length + replacement.length, analysis.n);
  const optimal = matchedSample(analysis, demo, { propensity, search: "whole" });
  assert.ok(optimal.sets >= sample.sets);
});

Deno.test("matchedSample() weighs k replacements of one repair as one", () => {
  const study = { ...demo, matching: { ...demo.matching, partners: 2 } };
  const sample = matchedSample(analysis, study, { propensity });
  const ofSet = new Map<number, number>();
  sample.rows.forEach((_, k) => {
    if (sample.treated[k] === 1) return;
    ofSet.set(sample.pairId[k]!, (ofSet.get(sample.pairId[k]!) ?? 0) + sample.rowWeight[k]!);
  });
  assert.equal(ofSet.size, sample.sets);
  for (const total of ofSet.values()) assertClose(total, 1);
});

// Identity: overlap weights balance every column of the model exactly.
// The whole search of the plan is that of the option, and a replicate of the rows themselves agrees.
Deno.test("matchedSample() and rematcher() match as the plan says, searching the whole if it does", async () => {
  const analysis = selectEligible(await readCohort(demo), demo);
  const study = { ...demo, matching: { ...demo.matching, search: "whole" as const } };
  const planned = matchedSample(analysis, study);
  assert.deepEqual(planned.pairs, matchedSample(analysis, demo, { search: "whole" }).pairs);
  assert.notDeepEqual(planned.pairs, matchedSample(analysis, demo).pairs);
  const every = Int32Array.from({ length: analysis.n }, (_, row) => row);
  assert.deepEqual([...rematcher(analysis, study)(every).rows], [...planned.rows]);
});

Deno.test("weightedSample() balances every column of the study's model", () => {
  const sample = weightedSample(analysis, demo, { propensity, estimand: "overlap" });
  for (const [name, covariate] of Object.entries(propensity.design.covariates)) {
    const { weight } = sample;
    const gap = standardizedDifference({ treated: analysis.treated, covariate, weight });
    assert.ok(Math.abs(gap) < 1e-8, `${name}: ${gap}`);
  }
  assert.equal(sample.inWords, "among patients who could have had either operation");
  assert.equal(sample.truncation, null);
  assert.ok(sample.repair.effective < sample.repair.n);
});

Deno.test("weightedSample() tells what cutting weights does", () => {
  const study = { ...demo, weights: { stabilized: true, truncate: [0.02, 0.98] } } as typeof demo;
  const sample = weightedSample(analysis, study, { propensity, estimand: "everyone" });
  const cut = sample.truncation!;
  // 2% at either end of n weights
  assert.ok(Math.abs(cut.cut - 0.04 * analysis.n) <= 2, `cut ${cut.cut}`);
  assert.ok(sample.replacement.effective > cut.before.replacement.effective);
  assert.ok(sample.repair.largest < cut.before.repair.largest);
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
  // shares 4/30 and 14/30: -0.333 / sqrt((0.1156 + 0.2489) / 2) = -0.781, to one decimal
  assert.deepEqual(cells("Diabetes"), ["–", "14 (47%)", "−0.8"]);
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

// Identity: every row drawn once is the analysis itself.
Deno.test("rematcher() and reweighter() of the rows themselves are the study's samples", () => {
  const every = Int32Array.from({ length: analysis.n }, (_, i) => i);
  const sample = matchedSample(analysis, demo, { propensity });
  const again = rematcher(analysis, demo)(every);
  assert.deepEqual(again.rows, sample.rows);
  assert.deepEqual(again.pairId, sample.pairId);
  assert.deepEqual(again.treated, sample.treated);
  assert.deepEqual(
    reweighter(analysis, demo)(every),
    weightedSample(analysis, demo, { propensity }).weight,
  );
});

Deno.test("rematcher() follows the draw", () => {
  const rematch = rematcher(analysis, demo);
  const draw = resampler(analysis.n, demo.seed);
  const { rows } = draw(0);
  const times = new Map<number, number>();
  for (const row of rows) times.set(row, (times.get(row) ?? 0) + 1);
  const sample = rematch(rows);
  assert.ok(sample.rows.length > 200);
  for (const row of sample.rows) {
    times.set(row, (times.get(row) ?? 0) - 1);
    assert.ok(times.get(row)! >= 0, "nobody is matched more often than drawn");
  }
  sample.rows.forEach((row, k) => assert.equal(sample.treated[k], analysis.treated[row]));
});
