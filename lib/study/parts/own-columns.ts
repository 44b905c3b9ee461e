import { z } from "zod";
import { column, words } from "./names.ts";

const stages = z.enum(["pre-operative", "operative", "post-operative"]);

/** A column that the cohort file has and the dictionary does not. */
export const ownColumnSchema = z.strictObject({
  name: column,
  table: z.enum(["patients", "visits"]).default("patients"),
  label: words,
  type: z.enum(["integer", "number", "ordinal", "binary", "category", "set"]),
  unit: words.optional(),
  range: z.tuple([z.number(), z.number()])
    .refine(([low, high]) => low < high, "the lower limit first")
    .optional().describe("Values outside are impossible: an error. Numbers need it."),
  usual: z.tuple([z.number().nullable(), z.number().nullable()]).optional()
    .describe("Values outside are improbable: a warning."),
  codes: z.record(z.string(), words).optional()
    .describe("Codes and what they mean, in their natural order. Categories and sets need it."),
  stage: stages.describe("When the value is known. Only what is known before may be adjusted for."),
  note: words.optional(),
}).refine(
  ({ type, codes }) => (type === "category" || type === "set") === (codes !== undefined),
  { path: ["codes"], message: "of a category or a set: needed there, and nowhere else" },
).refine(
  ({ type, range }) => !["integer", "number", "ordinal"].includes(type) || range !== undefined,
  { path: ["range"], message: "the lowest and highest value possible" },
);
