import { deepEqual, equal, match, ok, throws } from "node:assert/strict";
import { completedStudySchema } from "../../lib/cohort/dictionary/mod.ts";
import { parsePlan, ProblemsError } from "../../lib/study/mod.ts";
import { DataError } from "../../lib/numerics/mod.ts";
import { smallPlan } from "../cohort/small-cohort.ts";

/** The lines of the message that a plan with these changes must give. */
function problemsOf(changes: Record<string, unknown>): string[] {
  let problems: string[] = [];
  throws(() => parsePlan({ ...smallPlan, ...changes }, "study.json"), (error) => {
    ok(error instanceof ProblemsError && error instanceof DataError);
    problems = error.problems.map(({ where, what }) => `${where}: ${what}`);
    return true;
  });
  return problems;
}

Deno.test("parsePlan() fills in the defaults that methods and smallest cells rest on", () => {
  const plan = parsePlan(smallPlan);
  // Caliper 0.2: Austin 2011. Smallest cell 11: US Medicare policy bars 1 to 10.
  equal(plan.matching.caliper, 0.2);
  equal(plan.smallestCell, 11);
  equal(plan.smallestAtRisk, 10);
  equal(plan.confidence, 0.95);
  deepEqual(plan.weights, { stabilized: true, truncate: null });
  equal(plan.adjustment.covariates[0]?.missing, "indicator");
});

Deno.test("parsePlan() refuses a non-fatal endpoint without death competing", () => {
  deepEqual(problemsOf({ endpoints: [{ id: "recurrence", label: "Recurrence" }] }), [
    'endpoints[0].competing: must list "death": it competes with any non-fatal endpoint',
  ]);
});

Deno.test("parsePlan() collects every problem with its path, in one message", () => {
  const changes = {
    seed: -1,
    estimand: "all",
    smallestCel: 5,
    thresholds: [{
      id: "x",
      column: "lvef",
      side: "below",
      value: 64,
      label: "x",
      purpose: "subgroup",
    }],
    adjustment: { covariates: [{ column: "age", form: "spline", knots: [60, 50, 70] }] },
  };
  deepEqual(problemsOf(changes).map((line) => line.split(":")[0]), [
    "estimand",
    "adjustment.covariates[0].knots",
    "thresholds[0].source",
    "seed",
    "smallestCel",
  ]);
  throws(() => parsePlan({ ...smallPlan, ...changes }, "study.json"), {
    message: /^Cannot open study.json: 5 problems\n {2}estimand: .*\n/,
  });
});

Deno.test("parsePlan() refuses an id that is there twice", () => {
  deepEqual(problemsOf({ planned: ["flow", "flow"] }), [
    'planned: each must appear once, got "flow" again',
  ]);
});

Deno.test("parsePlan() refuses interactions of other columns, of one column, and twice the same", () => {
  const covariates = [{ column: "age", form: "linear" }, { column: "lvef", form: "linear" }];
  const problems = (...interactions: string[][]) =>
    problemsOf({ adjustment: { covariates, interactions } });
  deepEqual(problems(["age", "lvedd"]), [
    'adjustment.interactions[0]: must be of columns among the covariates, got "lvedd"',
  ]);
  deepEqual(problems(["age", "age"]), [
    "adjustment.interactions[0]: must be of two different columns (for a bend in one, use a spline)",
  ]);
  deepEqual(problems(["age", "lvef"], ["lvef", "age"]), [
    'adjustment.interactions: each must appear once, got "age with lvef" again',
  ]);
});

Deno.test("parsePlan() refuses a rule of eligibility that excludes nobody", () => {
  const rule = { id: "redo", reason: "redo", column: "redo", exclude: {} };
  deepEqual(problemsOf({ eligibility: [rule] }), [
    "eligibility[0].exclude: at least one of oneOf, below, above, missing",
  ]);
});

Deno.test("parsePlan() refuses what is not an object", () => {
  for (const value of [null, 3, "plan", []]) {
    throws(
      () => parsePlan(value, "study.json"),
      /Cannot open study.json: 1 problem\n {2}\(whole file\)/,
    );
  }
});

Deno.test("completedStudySchema() is the one published beside the demonstration study", async () => {
  const published = await Deno.readTextFile(
    new URL("../../data-demo/study.schema.json", import.meta.url),
  );
  equal(
    published,
    JSON.stringify(completedStudySchema(), null, 2) + "\n",
    "data-demo/study.schema.json is out of date: deno task schemas",
  );
});

Deno.test("the published schema completes columns and the codes of the column named, from any folder", () => {
  const schema = completedStudySchema();
  const references = [...JSON.stringify(schema).matchAll(/"\$ref":"([^"]*)"/g)];
  const defs = schema.$defs as Record<string, { anyOf: unknown[]; allOf: unknown[] }>;
  // it points to nothing beside it, and all that it points to is there
  for (const [, to = ""] of references) {
    ok(to === "#" || Object.hasOwn(defs, to.replace("#/$defs/", "")), to);
  }
  const properties = schema.properties as Record<string, Record<string, unknown>>;
  const mapped = (table: string) =>
    JSON.stringify((properties.mapping!.properties as Record<string, unknown>)[table]);
  match(mapped("patients"), /patients-column.*patients-codes/);
  match(mapped("visits"), /visits-column.*visits-codes/);
  match(JSON.stringify(properties.eligibility), /patients-column.*patients-codes/);
  match(JSON.stringify(properties.adjustment), /patients-column.*patients-codes/);
  deepEqual(defs["patients-column"]!.anyOf.slice(5, 6), [
    { const: "sex", description: "Sex: F, M, unknown" },
  ]);
  const ofSex = JSON.stringify(defs["patients-codes"]!.allOf[0]);
  match(ofSex, /"const":"sex".*"enum":\["F","M","unknown"\]/);
  // a column of one's own is no mistake, and its own name is new
  match(JSON.stringify(defs["patients-column"]!.anyOf.at(-1)), /declared in/);
  ok(!JSON.stringify(properties.columns).includes("patients-column"));
});

Deno.test("parsePlan() says the new names of the matching's old ones", () => {
  const old = { caliper: 0.2, ratio: 2, replacement: false, order: "closest", exact: ["age"] };
  deepEqual(problemsOf({ matching: old }), [
    "matching: ratio is now called partners; replacement is now called reuse; order is now " +
    "called begin; exact is now called alike",
  ]);
  deepEqual(problemsOf({ matching: { begin: "descending", search: "optimal", metod: 1 } }), [
    "matching.search: optimal is now called whole",
    "matching.begin: descending is now called highest",
    'matching.metod: is no part of the study file; is "method" meant?',
  ]);
});

Deno.test("parsePlan() fills in the programme, and checks what its rules name", () => {
  const { programme } = parsePlan(smallPlan);
  equal(programme.showSurgeons, false);
  deepEqual(programme.targets.map(({ value, source }) => [value, source]), [
    [0.9, "common practice, no source"],
  ]);
  equal(programme.monitoring.runLength, 1000);
  const wrong = {
    targets: [{ id: "a", label: "A", value: 0.8, rule: { threshold: "none" }, source: "us" }],
    dates: [{ at: 2015, label: "one" }, { at: 2015, label: "two" }],
    volumeBands: { from: [20, 10], source: "us" },
  };
  deepEqual(problemsOf({ programme: { volumeBands: wrong.volumeBands } }), [
    "programme.volumeBands.from: ascending",
  ]);
  deepEqual(problemsOf({ programme: { targets: wrong.targets, dates: wrong.dates } }).length, 2);
});
