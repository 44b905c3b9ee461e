import type { Mapping, TableLayout } from "../../study/mapping/mod.ts";
import { dictionaryColumn, isNumeric } from "../dictionary/mod.ts";

/** What a study file is drafted from. */
export interface StudyFacts {
  name: string;
  title: string;
  closingYear: number;
  layouts: { cohort: TableLayout; visits?: TableLayout };
  mapping: Mapping;
  /** Path of the published schema, relative to the study file. */
  schema?: string;
}

// Usual confounders of this comparison, and where splines bend: common practice, no source.
const covariates: [column: string, knots?: number[]][] = [
  ["age", [45, 60, 70, 80]],
  ["sex"],
  ["nyha"],
  ["af_pre"],
  ["diabetes"],
  ["egfr"],
  ["prior_mi"],
  ["cad_vessels"],
  ["copd"],
  ["urgency"],
  ["aetiology"],
  ["leaflet"],
  ["mr_pre"],
  ["lvef", [30, 45, 55, 65]],
  ["lvedd"],
  ["lvesd"],
  ["tether"],
  ["ipmd"],
  ["pasp"],
  ["tr_pre"],
  ["op_year"],
];
const references: Record<string, string> = {
  sex: "F",
  af_pre: "none",
  urgency: "elective",
  aetiology: "degenerative",
  leaflet: "posterior",
};

/**
 * A whole study file for what an export has: the usual plan, its covariates those that the mapping
 * fills, recurrence where there are visits and grades on leaving theatre. The plan is to be read
 * and changed before outcomes are looked at.
 */
export function draftStudy(facts: StudyFacts): Record<string, unknown> {
  const { mapping, layouts } = facts;
  const filled = filledColumns(mapping, "patients");
  const chosen = covariates.filter(([column]) => filled.has(column));
  const excluding: [string, string, (string | number)[]][] = [
    ["ie_active", "active endocarditis", [1]],
    ["aetiology", "regurgitation from endocarditis or another cause than those compared", [
      "endocarditis",
      "other",
    ]],
    ["urgency", "salvage operation", ["salvage"]],
    ["redo", "previous heart operation", [1]],
  ];
  return {
    ...(facts.schema && { $schema: facts.schema }),
    name: facts.name,
    title: facts.title,
    question:
      "For patients with mitral regurgitation who could have had either operation, does repair " +
      "or replacement give more years of life, and how often does regurgitation come back?",
    centre: "Our centre",
    files: { cohort: "clean/patients.csv", visits: "clean/echo-visits.csv" },
    export: layouts,
    mapping,
    timeZero: {
      label: "Day of the operation; deaths in theatre count from day 0",
      closingYear: facts.closingYear,
    },
    eligibility: excluding.filter(([column]) => filled.has(column)).map((
      [column, reason, oneOf],
    ) => ({ id: column.replace("_", "-"), reason, column, exclude: { oneOf } })),
    groups: { by: "intended" },
    estimand: "overlap",
    adjustment: {
      covariates: chosen.map(([column, knots]) => {
        if (knots) return { column, form: "spline", knots };
        const known = dictionaryColumn("patients", column);
        return known && isNumeric(known)
          ? { column, form: "linear" }
          : { column, form: "category", reference: references[column] };
      }),
    },
    endpoints: [
      { id: "death", label: "Death of any cause" },
      ...(layouts.visits && filled.has("mr_exit")
        ? [{
          id: "recurrence",
          label: "Moderate or worse regurgitation found after an exit grade of at most mild",
          competing: ["death", "reintervention"],
        }]
        : []),
      { id: "reoperation", label: "Mitral reintervention of any kind", competing: ["death"] },
    ],
    horizons: [1, 5],
    mainHorizon: 5,
    smallestDifference: { value: 0.05, source: "proposed; to be agreed by the group" },
    restrictedMeanHorizon: 5,
    seed: 20240816,
    planned: [],
  };
}

/** Columns of the dictionary that a mapping fills. */
export function filledColumns(mapping: Mapping, table: "patients" | "visits"): Set<string> {
  return new Set([
    ...Object.values(mapping[table]).flatMap((source) =>
      typeof source === "string" ? [source] : "column" in source ? [source.column] : []
    ),
    ...mapping.derived[table].map(({ column }) => column),
  ]);
}
