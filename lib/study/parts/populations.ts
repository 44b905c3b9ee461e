import { z } from "zod";
import { id, words } from "./names.ts";
import { ruleSchema } from "./rules.ts";

/** A group of patients in whom the question is asked again. */
export const populationSchema = z.strictObject({
  id,
  label: words.describe("Such as: Secondary regurgitation."),
  shortLabel: words.max(32).optional().describe("Where the label has no room: on a telephone."),
  rule: ruleSchema.optional().describe(
    "Rules for belonging to it; without them, every eligible patient.",
  ),
  planned: z.boolean().default(true).describe("Whether it was planned before outcomes were seen."),
});

/** A number of the plan with where it came from. */
const sourced = (value: z.ZodType<number>, standard: number) =>
  z.strictObject({ value, source: words })
    .default({ value: standard, source: "common practice, no source" });

/** How much a population must have for its numbers to be shown. */
export const enoughSchema = z.strictObject({
  effectiveNumber: sourced(z.number().min(1), 25).describe(
    "Smallest effective number of patients in an arm, after weighting or matching.",
  ),
  overlap: sourced(z.number().min(0).max(1), 0.5).describe(
    "Smallest share of an arm whose score lies where the other arms have patients too.",
  ),
  events: sourced(z.number().min(0), 5).describe(
    "Smallest number of events in all arms together.",
  ),
  difference: sourced(z.number().gt(0), 0.1).describe(
    "Largest standardised difference after weighting or matching at which arms are called alike.",
  ),
}).prefault({}).describe("Where there is less, the report says so in place of a number.");
