import { z } from "zod";
import { column, id, words } from "./names.ts";

/** A cut-off that defines a subgroup or a warning mark. */
export const thresholdSchema = z.strictObject({
  id,
  column,
  side: z.enum(["above", "at-least", "below", "at-most"]),
  value: z.number(),
  label: words,
  purpose: z.enum(["subgroup", "warning-mark"]),
  source: words.describe("Where the number came from; it must not have been found in these data."),
});
