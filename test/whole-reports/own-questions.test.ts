import { deepEqual, match, ok } from "node:assert/strict";
import { type PlanJson, reportOnCut } from "../hostile/cut-cohort.ts";

// The questions that groups ask, each by a study file alone: nothing here touches code. The files
// are the demonstration's, invented; the notebooks those that answer in which valves
// and which technique.
const notebooks = ["01-cohort", "03-survival", "10-which-valves", "11-which-technique"];

const answered = async (plan: (plan: PlanJson) => void) => {
  const { failures, text } = await reportOnCut({ plan, notebooks });
  deepEqual(failures, []);
  return text.replace(/\s+/g, " ");
};

/** One population, and no technique, that the changed question would leave without its columns. */
function alone(plan: PlanJson, without: readonly string[] = []): void {
  plan.populations = [];
  plan.comparisons = [];
  delete plan.mainPopulation;
  delete plan.programme;
  plan.adjustment.covariates = plan.adjustment.covariates
    .filter(({ column }) => !without.includes(column));
}

const only = (plan: PlanJson, id: string, column: string, exclude: unknown) =>
  (plan.eligibility as unknown[]).push({ id, reason: `not asked about: ${id}`, column, exclude });

Deno.test("a study file of degenerative disease only has one row of answers, and a ledger", async () => {
  const text = await answered((plan) => {
    alone(plan, ["aetiology", "tether", "ipmd"]);
    only(plan, "others", "aetiology", {
      oneOf: ["ischaemic", "functional_nonischaemic", "rheumatic"],
    });
    plan.thresholds = [];
  });
  match(
    text,
    /In which valves\. Of 100 patients, 5 years on: Repair intended \/ Replacement intended/,
  );
  match(text, /Benefit beside harm/);
  match(text, /Late stroke +not in the file/);
});

Deno.test("a study file of functional regurgitation only finds more leaks after repair", async () => {
  const text = await answered((plan) => {
    alone(plan, ["leaflet", "aetiology"]);
    only(plan, "others", "aetiology", { oneOf: ["degenerative", "rheumatic"] });
  });
  // the cohort is made so (truth.json, secondaryOverlap: 31 more of 100)
  match(text, /Valve failure: fewer valve failures after an intended replacement/);
});

Deno.test("a study file compares ring types within repairs, in its own words", async () => {
  const repaired = { column: "final", oneOf: ["repair"] };
  const ring = (...oneOf: string[]) => ({ all: [repaired, { column: "ring_type", oneOf }] });
  const text = await answered((plan) => {
    alone(plan);
    plan.question = "Does a rigid ring leave a valve that lasts longer than a flexible one?";
    plan.groups = {
      by: "rules",
      repair: "Rigid ring",
      replacement: "Flexible ring or band",
      rules: { repair: ring("rigid", "semirigid"), replacement: ring("flexible", "band") },
    };
  });
  match(text, /5 years on: Rigid ring \/ Flexible ring or band/);
  ok(!/after an intended (repair|replacement)/.test(text));
});

Deno.test("a study file compares an early with a late era", async () => {
  const text = await answered((plan) => {
    alone(plan, ["op_year"]);
    plan.question = "Have results changed since 2014?";
    plan.groups = {
      by: "rules",
      repair: "From 2014",
      replacement: "Before 2014",
      rules: {
        repair: { column: "op_year", atLeast: 2014, source: "invented" },
        replacement: { column: "op_year", below: 2014, source: "invented" },
      },
    };
    plan.horizons = [1, 5];
  });
  match(text, /5 years on: From 2014 \/ Before 2014/);
  ok(!/after an intended (repair|replacement)/.test(text));
});

Deno.test("an endpoint of a column of the file joins the ledger from the study file", async () => {
  const text = await answered((plan) => {
    (plan.endpoints as unknown[]).push({
      id: "kidney",
      label: "Kidney failure, as this centre counts it",
      event: { column: "new_dialysis", oneOf: [1] },
      competing: ["death"],
      source: "invented",
    });
  });
  match(text, /Kidney failure, as this centre counts it as recorded/);
});

Deno.test("one study file has columns, populations, arms, groups and endpoints of its own, in tables and words", async () => {
  const { failures, text: raw, contradictions } = await reportOnCut({
    notebooks: [...notebooks, "02-balance", "05-reoperation"],
    rows: (patients, visits) => [
      patients.map((row, i) => ({
        ...row,
        walk: i % 40 === 0 ? "" : String(250 + (37 * i) % 300),
        team: i % 3 === 0 ? "pair" : "single",
        pacemaker: i % 8 === 0 ? "1" : "0",
        pacemaker_day: i % 8 === 0 ? String(Math.min(Number(row.fu_days), 30 + i % 900)) : "",
      })),
      visits,
    ],
    plan: (plan) => {
      alone(plan);
      plan.columns = [
        {
          name: "walk",
          label: "Six-minute walk",
          type: "number",
          unit: "m",
          range: [0, 900],
          stage: "pre-operative",
        },
        {
          name: "team",
          label: "Team at the table",
          type: "category",
          codes: { single: "One surgeon", pair: "Two surgeons" },
          stage: "pre-operative",
        },
        { name: "pacemaker", label: "Pacemaker put in", type: "binary", stage: "post-operative" },
        {
          name: "pacemaker_day",
          label: "Day of the pacemaker",
          type: "integer",
          unit: "days from operation",
          range: [0, 15000],
          stage: "post-operative",
        },
      ];
      plan.adjustment.covariates.push(
        { column: "walk", form: "linear" } as never,
        { column: "team", form: "category", reference: "single" } as never,
      );
      plan.populations = [
        { id: "all", label: "All who are eligible", shortLabel: "All" },
        {
          id: "slow",
          label: "Those who walk less than 400 m",
          shortLabel: "Slow walkers",
          rule: { column: "walk", below: 400, source: "invented" },
        },
      ] as never;
      plan.mainPopulation = "all";
      plan.groups = {
        by: "rules",
        repair: "Mended",
        replacement: "Exchanged",
        rules: {
          repair: { column: "final", oneOf: ["repair"] },
          replacement: { column: "final", oneOf: ["replacement"] },
        },
      };
      plan.comparisons = [{
        id: "teams",
        label: "One surgeon or two at the table",
        question: "Do two surgeons do better than one?",
        arms: [
          { id: "one", label: "One surgeon", rule: { column: "team", oneOf: ["single"] } },
          { id: "two", label: "Two surgeons", rule: { column: "team", oneOf: ["pair"] } },
        ],
        covariates: [{ column: "age", form: "linear" }, { column: "walk", form: "linear" }],
        endpoints: ["death"],
        estimand: "overlap",
      }] as never;
      (plan.endpoints as unknown[]).push({
        id: "pacemaker",
        label: "A pacemaker put in",
        event: { column: "pacemaker", oneOf: [1], day: "pacemaker_day" },
        competing: ["death"],
        source: "invented",
      });
    },
  });
  const text = raw.replace(/\s+/g, " ");
  deepEqual([...failures, ...contradictions], []);
  for (
    const words of [
      /Six-minute walk/, // a covariate in the tables
      /Team at the table/,
      /Those who walk less than 400 m|Slow walkers/, // a population
      /One surgeon or two at the table/, // a comparison and its arms
      /Two surgeons/,
      /A pacemaker put in/, // an endpoint
      /Mended/, // the groups' own names
      /Exchanged/,
    ]
  ) match(text, words);
});
