import { z } from "zod";
import { column } from "./names.ts";

/** What is done about missing covariates. */
export const missingSchema = z.strictObject({
  method: z.enum(["impute", "mean-and-mark", "complete"]).default("mean-and-mark").describe(
    "impute: missing covariates are drawn several times from models of what is known, the " +
      "outcome among it, and results pooled; mean-and-mark: as each covariate says; complete: " +
      "patients with any covariate missing are left out.",
  ),
  sets: z.int().min(2).max(1000).optional().describe(
    "How many completed sets; one for each per cent of incomplete patients where this is absent. " +
      "Of more than 20,000 patients fewer are made, as the report then says.",
  ),
  iterations: z.int().min(1).max(200).default(10),
  auxiliary: z.array(column).default([]).describe(
    "Columns known before the operation that help to predict missing values, beside the covariates.",
  ),
}).prefault({});
