import { deepEqual, equal, rejects, throws } from "node:assert/strict";
import fc from "fast-check";
import { followUpOf, numericColumn, selectEligible } from "../../../lib/cohort/mod.ts";
import { ruleHolds } from "../../../lib/cohort/analysis/mod.ts";
import type { Rule } from "../../../lib/study/mod.ts";
import { analyse, readRows, replaced, type Row } from "../small-cohort.ts";

const rows: Row[] = [
  { lvef: 30, aetiology: "ischaemic", leaflet: "", tether: 12, adjuncts: "" },
  { lvef: 60, aetiology: "degenerative", tether: "", adjuncts: "neochordae;resection" },
  { lvef: "", aetiology: "ischaemic", leaflet: "", tether: "", adjuncts: "pm_approximation" },
  { ...replaced, lvef: 38, aetiology: "ischaemic", leaflet: "", tether: 8, adjuncts: "" },
];
const thresholds = [{
  id: "tethered",
  column: "tether",
  side: "above",
  value: 10,
  label: "Tethered",
  purpose: "subgroup",
  source: "invented",
}];
const low: Rule = { column: "lvef", below: 40, source: "invented" };
const ischaemic: Rule = { column: "aetiology", oneOf: ["ischaemic"] };

async function holds(rule: Rule): Promise<number[]> {
  const analysis = await analyse(rows, [], { thresholds });
  return [...ruleHolds(analysis, rule, analysis.study)];
}

Deno.test("ruleHolds() leaves a missing value undecided, and only where it matters", async () => {
  deepEqual(await holds(low), [1, 0, NaN, 1]);
  deepEqual(await holds({ not: low }), [0, 1, NaN, 0]);
  deepEqual(await holds({ any: [low, ischaemic] }), [1, 0, 1, 1]);
  deepEqual(await holds({ all: [low, ischaemic] }), [1, 0, NaN, 1]);
  deepEqual(await holds({ all: [low, { not: ischaemic }] }), [0, 0, 0, 0]);
  deepEqual(await holds({ column: "lvef", missing: true }), [0, 0, 1, 0]);
});

Deno.test("ruleHolds() decides against a column that does not apply, and reads sets", async () => {
  deepEqual(await holds({ threshold: "tethered" }), [1, 0, NaN, 0]);
  deepEqual(await holds({ column: "tether", missing: true }), [0, 0, 1, 0]);
  deepEqual(await holds({ column: "adjuncts", oneOf: ["resection", "edge_to_edge"] }), [
    0,
    1,
    0,
    0,
  ]);
  deepEqual(await holds({ column: "ring_type", oneOf: ["rigid"] }), [1, 1, 1, 0]);
});

Deno.test("ruleHolds() joins parts as three-valued logic says, whatever the parts", async () => {
  const parts: Rule[] = [low, ischaemic, { not: low }, { column: "lvef", missing: true }];
  const analysis = await analyse(rows, [], { thresholds });
  const of = (rule: Rule) => [...ruleHolds(analysis, rule, analysis.study)];
  const anyPart = fc.constantFrom(...parts);
  fc.assert(fc.property(anyPart, anyPart, (one, other) => {
    // De Morgan holds in Kleene's logic too
    deepEqual(of({ not: { all: [one, other] } }), of({ any: [{ not: one }, { not: other }] }));
    deepEqual(of({ all: [one, other] }), of({ all: [other, one] }));
  }));
});

Deno.test("selectEligible() makes the two groups by rules and counts those in neither", async () => {
  const rules = {
    repair: { column: "ring_type", oneOf: ["rigid"] },
    replacement: { column: "ring_type", oneOf: ["flexible"] },
  };
  const groups = { by: "rules", repair: "Rigid ring", replacement: "Flexible ring", rules };
  const patients: Row[] = [{}, { ring_type: "flexible" }, { ...replaced }, { ring_type: "band" }];
  const analysis = await analyse(patients, [], { groups });
  deepEqual([...analysis.treated], [1, 0]);
  equal(analysis.flow.at(-1)?.excluded, 2);
  const both = { ...groups, rules: { ...rules, replacement: rules.repair } };
  const { cohort, study } = await readRows(patients, [], { groups: both });
  throws(() => selectEligible(cohort, study), /at most one rule/);
});

Deno.test("readCohort() reads a column that the study declares, and refuses one of another stage", async () => {
  const columns = [
    { name: "late_stroke", label: "Stroke", type: "binary", stage: "post-operative" },
    {
      name: "late_stroke_day",
      label: "Day",
      type: "integer",
      range: [0, 15000],
      stage: "post-operative",
    },
  ];
  const endpoints = [{ id: "death", label: "Death" }, {
    id: "late-stroke",
    label: "Stroke after the hospital stay",
    competing: ["death"],
    event: { column: "late_stroke", day: "late_stroke_day" },
    source: "invented",
  }];
  const patients: Row[] = [
    { late_stroke: 1, late_stroke_day: 400 },
    { late_stroke: 0, late_stroke_day: "", dead: 1, death_cause: "cardiac", fu_days: 731 },
    { late_stroke: "", late_stroke_day: "" },
    { late_stroke: 1, late_stroke_day: "" },
    {
      late_stroke: "",
      late_stroke_day: "",
      dead: 1,
      death_cause: "cardiac",
      fu_days: 0,
      mr_exit: "",
    },
  ];
  const analysis = await analyse(patients, [], { columns, endpoints });
  deepEqual([...numericColumn(analysis, "late_stroke")], [1, 0, NaN, 1, NaN]);
  const stroke = followUpOf(analysis, "late-stroke");
  deepEqual([...stroke.rows], [0, 1, 4]);
  deepEqual([...stroke.event], [1, 2, 2]);
  deepEqual([...stroke.time].map((years) => Math.round(years * 365.25)), [400, 731, 0]);
  deepEqual(stroke.leftOut.map(({ reason }) => reason), [
    "not recorded whether it happened",
    "day of the event not recorded",
  ]);
  const populations = [{ id: "x", label: "X", rule: { column: "late_stroke", oneOf: [1] } }];
  await rejects(
    analyse(patients, [], { columns, endpoints, populations }),
    /populations\[0\]\.rule\.column: must be known before the operation/,
  );
});
