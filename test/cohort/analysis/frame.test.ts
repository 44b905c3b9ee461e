import { deepEqual, equal, rejects } from "node:assert/strict";
import { assertClose } from "../../close.ts";
import { frameOf, summaryOf } from "../../../lib/cohort/mod.ts";
import { analyse, replaced } from "../small-cohort.ts";

Deno.test("frameOf() gives a frame by group, without pseudonyms", async () => {
  const analysis = await analyse([{ age: 60 }, { ...replaced, age: 70 }, { age: 66, sex: "" }]);
  const frame = await frameOf(analysis, ["age", "sex"]);
  deepEqual(frame.shape, [3, 3]);
  deepEqual(frame.columns, ["group", "age", "sex"]);
  deepEqual(frame.column("age").values, [60, 70, 66]);
  const means = frame.groupby(["group"]).col(["age"]).mean();
  deepEqual(means.column("age_mean").values, [63, 70]);
  await rejects(frameOf(analysis, ["height"]), { name: "DataError" });
});

// By hand: 50, 60 and 70 have mean 60, variance (100 + 0 + 100) / 2, median 60.
Deno.test("summaryOf() leaves a missing value out, and counts it", async () => {
  const analysis = await analyse([{ lvef: 50 }, { lvef: "" }, { lvef: 60 }, {
    lvef: 70,
    sex: "M",
  }]);
  const [lvef, female, male, unknown] = await summaryOf(analysis, ["lvef", "sex"]);
  deepEqual([lvef?.n, lvef?.missing, lvef?.mean, lvef?.min, lvef?.median, lvef?.max], [
    3,
    1,
    60,
    50,
    60,
    70,
  ]);
  assertClose(lvef?.sd ?? NaN, 10);
  deepEqual([female?.n, male?.n, unknown?.n], [3, 1, 0]);
});

Deno.test("summaryOf() counts only those a column applies to", async () => {
  const analysis = await analyse([{}, { aetiology: "ischaemic", leaflet: "", prior_mi: 1 }]);
  const [tether] = await summaryOf(analysis, ["tether"]);
  deepEqual([tether?.applies, tether?.missing, tether?.n, tether?.mean], [1, 1, 0, null]);
});

Deno.test("frameOf() and summaryOf() alone load danfojs, on use", async () => {
  const source = await Promise.all(
    ["read.ts", "analysis/eligible.ts", "follow-up/endpoints.ts", "mod.ts"].map((file) =>
      Deno.readTextFile(new URL(`../../../lib/cohort/${file}`, import.meta.url))
    ),
  );
  equal(source.some((text) => text.includes("danfojs")), false);
});
