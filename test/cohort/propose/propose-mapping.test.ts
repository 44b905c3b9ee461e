import { deepEqual, equal, ok } from "node:assert/strict";
import { fileURLToPath } from "node:url";
import { profileColumns } from "../../../lib/cohort/propose/column-profile.ts";
import { nameSimilarity } from "../../../lib/cohort/propose/name-similarity.ts";
import {
  type ProposedColumn,
  proposeMapping,
} from "../../../lib/cohort/propose/propose-mapping.ts";
import { openStudy } from "../../../lib/study/mod.ts";
import { csvOf, type Row } from "../small-cohort.ts";

// All expectations by hand unless said otherwise.
async function proposed(rows: Row[]): Promise<Map<string, ProposedColumn>> {
  const path = await Deno.makeTempFile({ suffix: ".csv" });
  try {
    await Deno.writeTextFile(path, csvOf(rows));
    const { columns } = await profileColumns(path);
    return new Map(
      proposeMapping("patients", columns).proposed.map((one) => [one.heading, one]),
    );
  } finally {
    await Deno.remove(path);
  }
}

Deno.test("proposeMapping() takes a unit from the heading, else from where the values lie", async () => {
  const found = await proposed([
    { "Follow-up months": 60, EDD: 5.5, EF: 0.6, ESD: 35 },
    { "Follow-up months": 12, EDD: 6.1, EF: 0.5, ESD: 40 },
  ]);
  const unit = (heading: string) => [found.get(heading)?.column, found.get(heading)?.unit];
  // 60 and 12 would be in range as days, too
  deepEqual(unit("Follow-up months"), ["fu_days", "months"]);
  deepEqual(unit("EDD"), ["lvedd", "cm"]);
  deepEqual(unit("EF"), ["lvef", "fraction"]);
  deepEqual(unit("ESD"), ["lvesd", undefined]);
  ok((found.get("EDD")?.confidence ?? 1) < (found.get("ESD")?.confidence ?? 0));
});

Deno.test("proposeMapping() asks for the unit of a time that its heading does not state", async () => {
  const found = await proposed([{ "Follow-up": 60 }, { "Follow-up": 12 }]);
  const { unit, confidence, reasons } = found.get("Follow-up") ?? { reasons: [] };
  equal(unit, undefined);
  ok((confidence ?? 1) < 0.6);
  ok(reasons.some((reason) => reason.startsWith("days, weeks, months or years")));
  for (const [heading, wanted] of [["FU Monate", "months"], ["Follow-up años", "years"]] as const) {
    const named = (await proposed([{ [heading]: 60 }, { [heading]: 12 }])).get(heading);
    deepEqual([named?.column, named?.unit], ["fu_days", wanted]);
  }
});

Deno.test("proposeMapping() is unsure of a column whose values do not agree with its name", async () => {
  const found = await proposed([{ LVEF: 400, Age: "old" }, { LVEF: 500, Age: "young" }]);
  for (const heading of ["LVEF", "Age"]) ok((found.get(heading)?.confidence ?? 0) < 0.5, heading);
});

Deno.test("proposeMapping() gives a dictionary column to one column of the file", async () => {
  const found = await proposed([{ lvef: 60, EF: 55 }]);
  equal(found.get("lvef")?.column, "lvef");
  ok(found.get("EF")?.column !== "lvef");
});

Deno.test("nameSimilarity() is 1 but for case, punctuation and units, and symmetric", () => {
  equal(nameSimilarity("LV-EDD (mm)", "lv_edd"), 1);
  equal(nameSimilarity("lvef", "sex"), nameSimilarity("sex", "lvef"));
  equal(nameSimilarity("", "sex"), 0);
});

// Identity: what a person confirmed for the second centre is what is proposed where it is sure.
Deno.test("proposeMapping() agrees with the confirmed mapping of the second centre", async () => {
  const path = new URL("../../../data-demo/second-centre/study.json", import.meta.url);
  const study = await openStudy(fileURLToPath(path));
  const { columns } = await profileColumns(study.cohortPath, study.files.format?.cohort);
  let sure = 0;
  for (const one of proposeMapping("patients", columns).proposed) {
    if (one.confidence < 0.9) continue;
    const confirmed = study.mapping.patients[one.heading];
    if (confirmed === undefined) continue;
    if (typeof confirmed === "object" && !("column" in confirmed)) continue;
    sure++;
    equal(typeof confirmed === "string" ? confirmed : confirmed.column, one.column, one.heading);
    equal(typeof confirmed === "string" ? undefined : confirmed.unit, one.unit, one.heading);
  }
  ok(sure >= 25, String(sure));
});
