import { z } from "zod";
import { covariateSchema } from "./adjustment.ts";
import { id, words } from "./names.ts";
import { ruleSchema } from "./rules.ts";

const armSchema = z.strictObject({
  id,
  label: words.describe("Such as: Ring alone."),
  rule: ruleSchema.describe("Which of the population's patients were operated this way."),
});

/**
 * A comparison beside the main one: two to four arms within a population.
 *
 * The main comparison is that of `groups`, in everybody eligible.
 */
export const comparisonSchema = z.strictObject({
  id,
  label: words,
  question: words.optional().describe("One sentence, as a surgeon would ask it."),
  population: id.optional().describe("One of the populations; without it, everybody eligible."),
  among: ruleSchema.optional().describe("Those of the population who are compared; else all."),
  arms: z.array(armSchema).min(2).max(4).describe(
    "A patient belongs to the first whose rule holds; those of none are left out and counted. The " +
      "others are compared with the last.",
  ),
  estimand: z.union([z.enum(["everyone", "overlap"]), z.strictObject({ target: id })])
    .default("overlap").describe(
      "Population the results apply to: everyone in the population, those who could have been in any " +
        "arm (overlap), or those of one arm (target).",
    ),
  covariates: z.array(covariateSchema).min(1).optional().describe(
    "What this comparison adjusts for, where the adjustment of the main one has too many columns " +
      "for its patients; without it, the same.",
  ),
  surgeon: z.enum(["cluster", "score", "none"]).default("cluster").describe(
    "cluster: patients of one surgeon are not independent; score: the surgeon is part of the score " +
      "too; none: neither.",
  ),
  endpoints: z.array(id).min(1).optional().describe("Some of the endpoints; without it, all."),
  planned: z.boolean().default(true).describe("Whether it was planned before outcomes were seen."),
});
