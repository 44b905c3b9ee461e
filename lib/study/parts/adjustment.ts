import { z } from "zod";
import { column } from "./names.ts";

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
export const covariateSchema = z.discriminatedUnion("form", [
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

/** @internal */
type WrittenCovariate = z.input<typeof covariateSchema>;
/** One adjustment covariate as a study file writes it. */
export type CovariateInput = WrittenCovariate;
