import { deepEqual, equal, ok, throws } from "node:assert/strict";
import { parsePlan, ProblemsError } from "../../lib/study/mod.ts";
import { smallPlan } from "../cohort/small-cohort.ts";

function problemsOf(changes: Record<string, unknown>): string[] {
  let problems: string[] = [];
  throws(() => parsePlan({ ...smallPlan, ...changes }), (error) => {
    ok(error instanceof ProblemsError);
    problems = error.problems.map(({ where, what }) => `${where}: ${what}`);
    return true;
  });
  return problems;
}

const low = { column: "lvef", below: 40, source: "invented" };
const arm = (id: string, procedure: string) => ({
  id,
  label: id,
  rule: { column: "final", oneOf: [procedure] },
});

Deno.test("parsePlan() opens a plan that names no population, comparison or own column", () => {
  const plan = parsePlan(smallPlan);
  deepEqual([plan.populations, plan.comparisons, plan.columns], [[], [], []]);
  equal(plan.enough.effectiveNumber.source, "common practice, no source");
});

Deno.test("parsePlan() takes rules within rules, and a population built on another", () => {
  const secondary = { column: "aetiology", oneOf: ["ischaemic"] };
  const plan = parsePlan({
    ...smallPlan,
    populations: [
      { id: "secondary", label: "Secondary", rule: secondary },
      {
        id: "tethered",
        label: "Tethered",
        rule: { all: [{ population: "secondary" }, { any: [low, { not: secondary }] }] },
        planned: false,
      },
    ],
    mainPopulation: "secondary",
    comparisons: [{
      id: "technique",
      label: "Technique",
      population: "tethered",
      arms: [arm("repaired", "repair"), arm("replaced", "replacement")],
      estimand: { target: "replaced" },
    }],
  });
  deepEqual(plan.populations.map(({ planned }) => planned), [true, false]);
  equal(plan.comparisons[0]?.surgeon, "cluster");
});

Deno.test("parsePlan() names the rule that a population gets wrong", () => {
  const populations = [
    { id: "a", label: "A", rule: { all: [{ population: "b" }, { threshold: "none-such" }] } },
    { id: "b", label: "B", rule: { column: "lvef", below: 40 } },
  ];
  const found = problemsOf({ populations });
  equal(found.length, 1);
  ok(found[0]?.startsWith("populations[1].rule.source: "));
  deepEqual(problemsOf({ populations: [populations[0], { id: "b", label: "B", rule: low }] }), [
    'populations[0].rule: must be one of the thresholds (none), got "none-such"',
    'populations[0].rule: must be one of the populations further up (none), got "b"',
  ]);
});

Deno.test("parsePlan() checks what a comparison names", () => {
  const comparison = {
    id: "technique",
    label: "Technique",
    population: "nobody",
    arms: [arm("same", "repair"), arm("same", "replacement")],
    estimand: { target: "other" },
    endpoints: ["stroke"],
    covariates: [{ column: "age", form: "linear" }, { column: "age", form: "linear" }],
  };
  deepEqual(problemsOf({ comparisons: [comparison] }).map((line) => line.split(":")[0]), [
    "comparisons[0].arms",
    "comparisons[0].population",
    "comparisons[0].estimand.target",
    "comparisons[0].endpoints[0]",
    "comparisons[0].covariates",
  ]);
});

Deno.test("parsePlan() asks of an own endpoint where it is written and where it is from", () => {
  const late = { id: "late-stroke", label: "Stroke", competing: ["death"] };
  const found = problemsOf({ endpoints: [late] });
  ok(found[0]?.startsWith("endpoints[0].event: is for endpoints of the study's own"));
  deepEqual(problemsOf({ endpoints: [{ ...late, event: { column: "stroke" } }] }), [
    "endpoints[0].source: an endpoint of the study's own says where its definition is from",
  ]);
  const whole = { ...late, event: { column: "stroke", day: "stroke_day" }, source: "invented" };
  deepEqual(parsePlan({ ...smallPlan, endpoints: [whole] }).endpoints[0]?.event, {
    column: "stroke",
    oneOf: [1],
    day: "stroke_day",
  });
});

Deno.test("parsePlan() asks of an own column what its type needs", () => {
  const own = { name: "frailty", label: "Frailty", stage: "pre-operative" };
  deepEqual(problemsOf({ columns: [{ ...own, type: "category" }] }), [
    "columns[0].codes: of a category or a set: needed there, and nowhere else",
  ]);
  deepEqual(problemsOf({ columns: [{ ...own, type: "ordinal" }] }), [
    "columns[0].range: the lowest and highest value possible",
  ]);
});
