import { z } from "zod";
import { formatSchema, mappingSchema } from "./mapping-schema.ts";
import { matchingSchema } from "./matching-schema.ts";
import { type ProblemLine, ProblemsError } from "./problems.ts";

const words = z.string().trim().min(1);
const column = z.string().regex(/^[a-z][a-z0-9_]*$/, "a column of the dictionary, such as lvef");
const id = z.string().regex(/^[a-z0-9]+([-.][a-z0-9]+)*$/, "an id in lower case, such as death-km");

/** One rule of eligibility: a patient for whom any part of `exclude` holds is excluded. */
const ruleSchema = z.strictObject({
  id,
  reason: words.describe("Read in the flow diagram after the number excluded."),
  column,
  exclude: z.strictObject({
    oneOf: z.array(z.union([z.string(), z.number()])).min(1).optional()
      .describe("Excluded if the value is one of these."),
    below: z.number().optional().describe("Excluded if the value is below this."),
    above: z.number().optional().describe("Excluded if the value is above this."),
    missing: z.literal(true).optional().describe("Excluded if there is no value."),
  }).refine(
    (exclude) => Object.keys(exclude).length > 0,
    "at least one of oneOf, below, above, missing",
  ),
});

const missing = z.enum(["indicator", "imputed", "stop"]).default("indicator").describe(
  "indicator: a missing value takes the mean of the others and a column of its own says so; " +
    "imputed: it takes the mean of the others, or the commonest level, and nothing says so; " +
    "stop: a missing value is an error.",
);

/**
 * One adjustment covariate and its form in the model.
 *
 * A column that applies to some patients only (`tether`: secondary regurgitation) enters as 0 for
 * the others, whose difference is carried by the column its condition depends on; missing means
 * missing among those it applies to.
 */
const covariateSchema = z.discriminatedUnion("form", [
  z.strictObject({ column, form: z.literal("linear"), missing }),
  z.strictObject({
    column,
    form: z.literal("spline"),
    knots: z.array(z.number()).min(3).max(7)
      .refine(
        (knots) => knots.every((k, i) => i === 0 || k > (knots[i - 1] ?? k)),
        "ascending knots",
      )
      .describe("Knots of a restricted cubic spline, in the column's unit."),
    missing,
  }),
  z.strictObject({
    column,
    form: z.literal("category"),
    reference: z.string().optional().describe("The level others are compared with."),
    missing,
  }),
]);

const endpointSchema = z.strictObject({
  id: z.enum(["death", "recurrence", "recurrence-severe", "reoperation"]),
  label: words,
  competing: z.array(z.enum(["death", "reintervention"])).default([]).describe(
    "Events that end the time at risk. reintervention: for another reason than regurgitation; " +
      "where it is not listed, follow-up is censored there.",
  ),
}).refine(
  (endpoint) => endpoint.id === "death" || endpoint.competing.includes("death"),
  { path: ["competing"], message: 'must list "death": it competes with any non-fatal endpoint' },
).refine(
  (endpoint) => endpoint.id !== "death" || endpoint.competing.length === 0,
  { path: ["competing"], message: "must be empty for death of any cause" },
).refine(
  (endpoint) => endpoint.id !== "reoperation" || !endpoint.competing.includes("reintervention"),
  { path: ["competing"], message: "must not list reintervention, which is the endpoint itself" },
);

const thresholdSchema = z.strictObject({
  id,
  column,
  side: z.enum(["above", "at-least", "below", "at-most"]),
  value: z.number(),
  label: words,
  purpose: z.enum(["subgroup", "warning-mark"]),
  source: words.describe("Where the number came from; it must not have been found in these data."),
});

/**
 * The study file: a pre-specified analysis plan.
 *
 * Every result the plan asks for is marked planned, every other one exploratory.
 */
export const planSchema = z.strictObject({
  $schema: z.string().optional(),
  name: id.describe("Names the output folder."),
  title: words,
  question: words.describe("One sentence, as a surgeon would ask it."),
  centre: words.describe("A neutral label, never the name of a hospital."),
  files: z.strictObject({
    cohort: words.describe("The patients table, one row an operation; relative to this file."),
    visits: words.describe("The echo visits table, one row an echocardiogram."),
    lifeTable: words.optional().describe(
      "A life table of the population the patients come from, as CSV: sex, age, q (chance of death " +
        "within the year) and, if it changes, year. Without it nothing is compared with expected.",
    ),
    format: formatSchema.describe(
      "How the files are written, where looking at them would not tell.",
    ),
  }),
  mapping: mappingSchema,
  timeZero: z.strictObject({
    label: words,
    closingYear: z.number().min(1990).max(2101).describe(
      "When follow-up was last sought, as a decimal year: 2024.5 is the middle of 2024.",
    ),
  }),
  eligibility: z.array(ruleSchema).describe(
    "Applied in this order; each patient is excluded once.",
  ),
  groups: z.strictObject({
    by: z.enum(["intended", "final"]),
    repair: words.default("Repair"),
    replacement: words.default("Replacement"),
  }),
  estimand: z.enum(["everyone", "treated", "overlap"]).describe(
    "Whom weighted results speak of: everyone, those repaired (treated), or those for whom " +
      "either operation was a real choice (overlap).",
  ),
  adjustment: z.strictObject({
    covariates: z.array(covariateSchema).min(1),
    interactions: z.array(z.tuple([column, column])).default([]).describe(
      "Pairs of the covariates whose products enter the model too, such as age with lvef.",
    ),
  }),
  missing: z.strictObject({
    method: z.enum(["impute", "mean-and-mark", "complete"]).default("mean-and-mark").describe(
      "impute: missing covariates are drawn several times from models of what is known, the " +
        "outcome among it, and results pooled; mean-and-mark: as each covariate says; complete: " +
        "patients with any covariate missing are left out.",
    ),
    sets: z.int().min(2).max(1000).optional().describe(
      "How many completed sets; one for each per cent of incomplete patients where this is absent.",
    ),
    iterations: z.int().min(1).max(200).default(10),
    auxiliary: z.array(column).default([]).describe(
      "Columns known before the operation that help to predict missing values, beside the covariates.",
    ),
  }).prefault({}),
  matching: matchingSchema.prefault({}),
  weights: z.strictObject({
    stabilized: z.boolean().default(true),
    truncate: z.tuple([z.number().min(0).max(1), z.number().min(0).max(1)])
      .refine(([low, high]) => low < high, "the lower limit first").nullable().default(null)
      .describe("Percentiles at which extreme weights are cut, such as [0.01, 0.99]."),
  }).prefault({}),
  endpoints: z.array(endpointSchema).min(1),
  horizons: z.array(z.number().positive()).min(1)
    .describe("Years after operation at which results are stated."),
  mainHorizon: z.number().positive()
    .describe("The one of the horizons at which the main answer is stated."),
  smallestDifference: z.strictObject({
    value: z.number().gt(0).lt(1),
    source: words.describe("Who said so: patients, a trial's design, the group."),
  }).describe("Smallest difference in proportions that would matter to a patient."),
  landmark: z.number().positive().default(0.25).describe(
    "Years after operation that divide early from late, fixed before the curves were seen.",
  ),
  restrictedMeanHorizon: z.number().positive().describe("Years."),
  thresholds: z.array(thresholdSchema).default([]),
  confidence: z.number().gt(0.5).lt(1).default(0.95),
  bootstrap: z.strictObject({
    replicates: z.union([z.literal(0), z.int().min(20).max(100_000)]).default(0).describe(
      "Draws of patients in which the whole procedure is repeated; 0 for none. Some 1000 for a " +
        "publication, at a few seconds to a minute.",
    ),
  }).prefault({}),
  seed: z.int().min(0).max(Number.MAX_SAFE_INTEGER),
  smallestCell: z.int().min(1).default(11)
    .describe("Counts below this are not published (1 publishes everything)."),
  smallestAtRisk: z.int().min(1).default(10)
    .describe("Curves stop where fewer than this remain at risk."),
  planned: z.array(id).default([]).describe("Ids of the results that were planned."),
  deviations: z.array(z.strictObject({ what: words, why: words })).default([])
    .describe("Departures from the plan after the data were seen."),
}).superRefine((plan, context) => {
  const groups: [string, (string | number)[]][] = [
    ["eligibility", plan.eligibility.map((rule) => rule.id)],
    ["thresholds", plan.thresholds.map((threshold) => threshold.id)],
    ["endpoints", plan.endpoints.map((endpoint) => endpoint.id)],
    ["adjustment.covariates", plan.adjustment.covariates.map((covariate) => covariate.column)],
    [
      "adjustment.interactions",
      plan.adjustment.interactions.map((pair) => pair.toSorted().join(" with ")),
    ],
    ["planned", plan.planned],
    ["horizons", plan.horizons],
  ];
  if (!plan.horizons.includes(plan.mainHorizon)) {
    context.addIssue({
      code: "custom",
      path: ["mainHorizon"],
      message: `must be one of the horizons ${plan.horizons.join(", ")}, got ${plan.mainHorizon}`,
    });
  }
  const adjusted = plan.adjustment.covariates.map((covariate) => covariate.column);
  plan.adjustment.interactions.forEach(([one, other], i) => {
    const stranger = [one, other].find((name) => !adjusted.includes(name));
    const message = stranger !== undefined
      ? `must be of columns among the covariates, got ${JSON.stringify(stranger)}`
      : one === other
      ? "must be of two different columns (for a bend in one, use a spline)"
      : undefined;
    if (message !== undefined) {
      context.addIssue({ code: "custom", path: ["adjustment", "interactions", i], message });
    }
  });
  for (const [path, values] of groups) {
    const repeated = values.filter((value, i) => values.indexOf(value) !== i);
    for (const value of new Set(repeated)) {
      const message = `each must appear once, got ${JSON.stringify(value)} again`;
      context.addIssue({ code: "custom", path: path.split("."), message });
    }
  }
});

/** The study file as checked, defaults filled in. */
export type Plan = z.infer<typeof planSchema>;
/** One rule of eligibility. */
export type EligibilityRule = Plan["eligibility"][number];
/** One adjustment covariate with its form. */
export type PlannedCovariate = Plan["adjustment"]["covariates"][number];
/** One endpoint with its competing events. */
export type PlannedEndpoint = Plan["endpoints"][number];
/** The endpoints there are. */
export type EndpointId = PlannedEndpoint["id"];
/** A threshold that defines a subgroup or a warning mark, with its source. */
export type Threshold = Plan["thresholds"][number];

/**
 * Checks a study file's content and fills in defaults.
 *
 * @param value The parsed JSON.
 * @param name The file's name, for messages.
 * @throws {ProblemsError} listing every problem with its path.
 */
export function parsePlan(value: unknown, name = "study file"): Plan {
  const result = planSchema.safeParse(value);
  if (result.success) return result.data;
  throw new ProblemsError(`open ${name}`, result.error.issues.map(problemOf));
}

/** The study file's JSON Schema, published as `data-demo/study.schema.json`. */
export function studyJsonSchema(): Record<string, unknown> {
  return { title: "Study file", ...z.toJSONSchema(planSchema, { io: "input" }) };
}

function problemOf(issue: z.core.$ZodIssue): ProblemLine {
  const closest = closestIssue(issue);
  let where = "";
  for (const key of closest.path) {
    where += typeof key === "number" ? `[${key}]` : where ? `.${String(key)}` : String(key);
  }
  return { where: where || "(whole file)", what: closest.message };
}

/** Of the ways in which a value could have been right, the one that it comes closest to. */
function closestIssue(issue: z.core.$ZodIssue): Pick<z.core.$ZodIssue, "path" | "message"> {
  if (issue.code !== "invalid_union") return issue;
  const depth = (issues: z.core.$ZodIssue[]) =>
    Math.max(0, ...issues.map(({ path }) => path.length)) - 0.01 * issues.length;
  let best: z.core.$ZodIssue[] = [];
  for (const issues of issue.errors) {
    if (best.length === 0 || depth(issues) > depth(best)) best = issues;
  }
  const first = best[0];
  if (!first) return issue;
  const inner = closestIssue(first);
  return { path: [...issue.path, ...inner.path], message: inner.message };
}
