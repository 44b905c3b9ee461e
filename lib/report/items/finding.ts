import { z } from "zod";
import { design, id, type PlanStatus, status } from "./fields.ts";
import type { Limits } from "../../numerics/mod.ts";

const share = z.number().min(0, "a proportion from 0 to 1").max(1, "a proportion from 0 to 1");
const change = z.number().min(-1, "a proportion from -1 to 1").max(1, "a proportion from -1 to 1");

/** An estimate lies within its limits. */
function withinLimits({ value, issues }: z.core.ParsePayload<Limits>): void {
  const { estimate, lower, upper } = value;
  if (lower <= estimate && estimate <= upper) return;
  issues.push({
    code: "custom",
    path: ["estimate"],
    message: `within its limits ${lower} and ${upper}`,
    input: estimate,
  });
}

const groupSchema = z.object({
  /** As it reads after "after": `repair`, `replacement`. */
  label: z.string().min(1),
  estimate: share,
  lower: share,
  upper: share,
  /**
   * Patients of the sample it comes from (rows, not weights), at risk of the event or not; absent
   * where the groups of several populations would tell a small count.
   */
  n: z.int("a count of patients above 0").positive("a count of patients above 0").optional(),
}).check(withinLimits);

/** A key result in figures, from which the report writes its sentences by rule. */
export const findingInputSchema = z.object({
  /** Lower-case words joined by hyphens, unique in the report. */
  id,
  endpoint: z.enum(["death", "valve-failure", "recurrence", "reoperation"]),
  /** The plan's population that it is about; absent for all eligible patients. */
  population: z.object({
    id,
    label: z.string().min(1),
    /** Whether the plan's first answer is about it. */
    main: z.boolean(),
  }).optional(),
  /** What the proportions are proportions of. */
  quantity: z.enum([
    "alive",
    "died",
    "valve failure",
    "recurrence",
    "recurrence between visits",
    "alive without recurrence",
    "reoperation",
  ]),
  /** Years after time zero. */
  horizon: z.number("a number of years above 0").positive("a number of years above 0"),
  design,
  /** To whom the comparison applies. A caliper-matched sample estimates none of the others. */
  estimand: z.enum(["everyone", "treated", "overlap", "matched sample"]),
  groups: z.tuple([groupSchema, groupSchema]).readonly(),
  /** First group minus second, as proportions. */
  difference: z.object({
    estimate: change,
    lower: change,
    upper: change,
    pValue: z.number().min(0, "between 0 and 1").max(1, "between 0 and 1").optional(),
  }).check(withinLimits),
  /** The table the figures stand in. */
  tableId: id,
  /** The figure that shows it. */
  figureId: id.optional(),
  /**
   * Puts it on the report's first screen; the first such finding with a figure brings the picture.
   */
  headline: z.boolean().optional(),
  /** Confidence level of every interval, default 0.95. */
  confidence: z.number().gt(0.5, "above 0.5 and below 1").lt(1, "above 0.5 and below 1")
    .default(0.95),
  /** Smallest difference in proportions that would matter to a patient, default 0.05. */
  smallestThatMatters: z.number().gt(0, "above 0 and below 1").lt(1, "above 0 and below 1")
    .default(0.05),
});

/** A finding as it leaves a notebook. */
export const shownFindingSchema = z.object({
  kind: z.literal("finding"),
  ...findingInputSchema.shape,
});

/** A finding as a run keeps it: as shown, and whether the plan asked for it. */
export const findingSchema = shownFindingSchema.extend({ status });

/** @internal */
type CheckedFindingGroup = z.infer<typeof groupSchema>;
/** One group's result at the horizon, as proportions. */
export type FindingGroup = CheckedFindingGroup;
/** @internal */
type CheckedFindingInput = z.input<typeof findingInputSchema>;
/** A key result in figures, from which the report writes its sentences by rule. */
export type FindingInput = CheckedFindingInput;
/** @internal */
type CheckedFindingData = z.output<typeof findingInputSchema>;
/** A finding with its defaults filled in: what the rules read. */
export type FindingData = CheckedFindingData & { status?: PlanStatus };
/** A finding as the report keeps it. */
export type FindingItem = z.infer<typeof findingSchema>;
