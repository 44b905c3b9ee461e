import assert from "node:assert/strict";
import { type Analysis, DataError, designMatrix } from "mitral";
import { assertAllClose } from "../close.ts";
import { analyse, planned, replaced, type Row } from "../cohort/small-cohort.ts";

// All expectations by hand unless said otherwise.

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
