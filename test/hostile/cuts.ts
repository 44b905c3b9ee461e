import { dictionary } from "mitral";
import type { Cut, PlanJson, Row } from "./cut-cohort.ts";

/** A cut with what it is called, and what the report must and must not say. */
export interface NamedCut extends Cut {
  name: string;
  /** Words that would contradict the plan. */
  mustNotSay?: RegExp;
}

const patientsOnly = (change: (rows: Row[]) => Row[]): Cut["rows"] => (patients, visits) => [
  change(patients),
  visits,
];
const blank = (columns: readonly string[]) => (rows: Row[]) =>
  rows.map((row) => ({ ...row, ...Object.fromEntries(columns.map((column) => [column, ""])) }));
/** A plan whose covariates no longer have a column. */
const without = (columns: readonly string[]) => (plan: PlanJson) => {
  plan.adjustment.covariates = plan.adjustment.covariates
    .filter(({ column }) => !columns.includes(column));
};

/**
 * A plan without the populations of a kind, those made from them, and what compares arms in them.
 */
function withoutPopulations(plan: PlanJson, isOut: (rule: unknown) => boolean): void {
  const out = new Set<string>();
  const uses = (rule: unknown) =>
    [...out].some((id) => JSON.stringify(rule).includes(`"population":"${id}"`));
  for (const { id, rule } of plan.populations) {
    if (rule !== undefined && (isOut(rule) || uses(rule))) out.add(id);
  }
  plan.populations = plan.populations.filter(({ id }) => !out.has(id));
  plan.comparisons = plan.comparisons.filter(({ population }) =>
    population === undefined || !out.has(population)
  );
}

const optional = dictionary.patients.filter(({ requirement }) => requirement === "optional")
  .map(({ name }) => name);

/** Everything a centre's file could lack, one thing at a time and all at once. */
export function cuts(): NamedCut[] {
  return [
    ...optional.map((column): NamedCut => ({
      name: `${column} blank`,
      rows: patientsOnly(blank([column])),
    })),
    { name: "every optional column blank", rows: patientsOnly(blank(optional)) },
    {
      name: "three ejection fractions blank",
      rows: patientsOnly((rows) => rows.map((row, i) => i % 500 ? row : { ...row, lvef: "" })),
    },
    ...dictionary.patients.flatMap(({ name, categories, stage }) =>
      (stage === "pre-operative" ? categories ?? [] : []).map(({ code }): NamedCut => ({
        name: `nobody with ${name} ${code}`,
        rows: patientsOnly((rows) => rows.filter((row) => row[name] !== code)),
      }))
    ),
    ...options(),
    { name: "60 patients", rows: patientsOnly((rows) => rows.slice(0, 60)) },
    {
      name: "one surgeon",
      rows: patientsOnly((rows) => rows.map((row) => ({ ...row, surgeon: "S1" }))),
    },
    { name: "no visits", rows: (patients) => [patients, []] },
    { name: "no grade on leaving theatre", rows: patientsOnly(blank(["mr_exit"])) },
    {
      name: "no deaths",
      rows: patientsOnly((rows) => rows.map((row) => ({ ...row, dead: "0", death_cause: "" }))),
    },
    {
      name: "only deaths",
      rows: patientsOnly((rows) => rows.filter(({ dead }) => dead === "1")),
    },
    {
      name: "repairs only",
      rows: patientsOnly((rows) => rows.filter(({ intended }) => intended === "repair")),
    },
    ...["degenerative", "ischaemic"].map((aetiology): NamedCut => ({
      name: `${aetiology} alone`,
      rows: patientsOnly((rows) => rows.filter((row) => row.aetiology === aetiology)),
      plan: aetiology === "degenerative" ? without(["tether", "ipmd", "aetiology"]) : undefined,
    })),
  ];
}

/** Every option of the study file that takes one of a few values, turned. */
function options(): NamedCut[] {
  const turned = (name: string, plan: (plan: PlanJson) => void, more: Partial<NamedCut> = {}) => ({
    name: `plan: ${name}`,
    plan,
    ...more,
  });
  return [
    turned("groups by final", (plan) => plan.groups = { by: "final" }, {
      mustNotSay: /.{0,60}(intended (repair|replacement)|(repair|replacement) intended).{0,60}/i,
    }),
    ...["everyone", "treated"].map((estimand) =>
      turned(`estimand ${estimand}`, (plan) => plan.estimand = estimand)
    ),
    turned("weights cut", (plan) => plan.weights = { stabilized: false, truncate: [0.01, 0.99] }),
    turned("a horizon past follow-up", (plan) => {
      plan.horizons = [1, 5, 30];
      plan.mainHorizon = 30;
    }),
    turned("restricted mean past follow-up", (plan) => plan.restrictedMeanHorizon = 35),
    turned("no thresholds", (plan) => {
      plan.thresholds = [];
      withoutPopulations(plan, (rule) => JSON.stringify(rule).includes('"threshold"'));
    }),
    turned("nothing planned", (plan) => plan.planned = []),
    turned("death alone", (plan) => {
      plan.endpoints = [{ id: "death", label: "Death of any cause" }];
      delete plan.precision;
    }),
    turned("one covariate", (plan) => {
      plan.adjustment.covariates = plan.adjustment.covariates.slice(0, 1);
    }),
    turned("no life table", (plan) => {
      const { lifeTable: _, ...files } = plan.files as Record<string, string>;
      plan.files = files;
    }),
    turned("every count published", (plan) => plan.smallestCell = 1),
    turned("90% limits", (plan) => plan.confidence = 0.9),
  ];
}
