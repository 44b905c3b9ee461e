import { z } from "zod";
import { biasSchema, precisionSchema, primarySchema } from "../beliefs/mod.ts";
import { exportSchema, formatSchema, mappingSchema } from "../mapping/mod.ts";
import {
  column,
  comparisonSchema,
  covariateSchema,
  eligibilitySchema,
  endpointSchema,
  enoughSchema,
  groupsSchema,
  id,
  matchingSchema,
  missingSchema,
  ownColumnSchema,
  populationSchema,
  programmeSchema,
  thresholdSchema,
  words,
} from "../parts/mod.ts";
import { checkPlan } from "./plan-checks.ts";

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
    others: z.record(id, words).optional().describe(
      "Tables that notebooks of one's own read beside the two, such as sizes of rings by model, by a " +
        "name of one's choice; relative to this file. About things, not patients: a table that looks " +
        "as if it identified anybody stops the run.",
    ),
    format: formatSchema.describe(
      "How the files are written, where looking at them would not tell.",
    ),
  }),
  export: exportSchema.describe(
    "Where the files above are a clean copy of a centre's export, made by this file's mapping: how " +
      "the export is laid out. The mapping is then about the export, and the files above have the " +
      "dictionary's columns.",
  ),
  mapping: mappingSchema,
  columns: z.array(ownColumnSchema).default([]).describe(
    "Columns of the cohort file that the dictionary does not have.",
  ),
  notebooks: z.array(words).min(1).default(["standard"]).describe(
    "What the report is made of, in this order: standard for every notebook of the project, the name " +
      "of one of them such as 03-survival, or one's own, relative to this file: a notebook such as " +
      "own/ring-size.ipynb, or a folder such as own/ for all in it.",
  ),
  timeZero: z.strictObject({
    label: words,
    closingYear: z.number().min(1990).max(2101).describe(
      "When follow-up was last sought, as a decimal year: 2024.5 is the middle of 2024.",
    ),
  }),
  eligibility: z.array(eligibilitySchema).describe(
    "Applied in this order; each patient is excluded once.",
  ),
  groups: groupsSchema,
  estimand: z.enum(["everyone", "treated", "overlap"]).describe(
    "Population that weighted results apply to: everyone, those repaired (treated), or those for whom " +
      "either operation was a real choice (overlap).",
  ),
  adjustment: z.strictObject({
    covariates: z.array(covariateSchema).min(1),
    interactions: z.array(z.tuple([column, column])).default([]).describe(
      "Pairs of the covariates whose products enter the model too, such as age with lvef.",
    ),
  }),
  missing: missingSchema,
  matching: matchingSchema.prefault({}),
  weights: z.strictObject({
    stabilized: z.boolean().default(true),
    truncate: z.tuple([z.number().min(0).max(1), z.number().min(0).max(1)])
      .refine(([low, high]) => low < high, "the lower limit first").nullable().default(null)
      .describe("Percentiles at which extreme weights are cut, such as [0.01, 0.99]."),
  }).prefault({}),
  populations: z.array(populationSchema).default([]).describe(
    "Groups of patients in whom the main comparison is made again, each with a score of its own.",
  ),
  mainPopulation: id.optional().describe(
    "The population that the first answer is about; without it, everybody eligible.",
  ),
  comparisons: z.array(comparisonSchema).default([]).describe(
    "Comparisons beside the main one: techniques, approaches, eras.",
  ),
  enough: enoughSchema,
  endpoints: z.array(endpointSchema).min(1),
  primary: primarySchema,
  precision: precisionSchema,
  bias: biasSchema,
  horizons: z.array(z.number().positive()).min(1)
    .describe("Years after operation at which results are stated."),
  mainHorizon: z.number().positive()
    .describe("The one of the horizons at which the main answer is stated."),
  smallestDifference: z.strictObject({
    value: z.number().gt(0).lt(1),
    source: words.describe("Where it comes from: patients, a trial's design, the group."),
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
  programme: programmeSchema,
  planned: z.array(id).default([]).describe("Ids of the results that were planned."),
  deviations: z.array(z.strictObject({ what: words, why: words })).default([])
    .describe("Departures from the plan after the data were seen."),
}).superRefine(checkPlan);

/** @internal */
type CheckedPlan = z.infer<typeof planSchema>;
/** The study file as checked, defaults filled in. */
export type Plan = CheckedPlan;
/** One rule of eligibility. */
export type EligibilityRule = Plan["eligibility"][number];
/** One adjustment covariate with its form. */
export type PlannedCovariate = Plan["adjustment"]["covariates"][number];
/** One endpoint with its competing events. */
export type PlannedEndpoint = Plan["endpoints"][number];
/** An id of an endpoint: a built-in one, or one of the study's own. */
export type EndpointId = PlannedEndpoint["id"];
/** A threshold that defines a subgroup or a warning mark, with its source. */
export type Threshold = Plan["thresholds"][number];
/** A group of patients in whom the question is asked again. */
export type PlannedPopulation = Plan["populations"][number];
/** A comparison beside the main one. */
export type PlannedComparison = Plan["comparisons"][number];
/** One arm of a comparison. */
export type PlannedArm = PlannedComparison["arms"][number];
/** A column of the study's own. */
export type OwnColumn = Plan["columns"][number];
