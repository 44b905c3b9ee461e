import { z } from "zod";
import { column, id, words } from "./names.ts";

/** One rule of eligibility: a patient for whom any part of `exclude` holds is excluded. */
export const eligibilitySchema = z.strictObject({
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
